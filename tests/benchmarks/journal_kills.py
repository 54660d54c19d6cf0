"""Kill writers with SIGKILL at random moments, in consultations, starts, rounds and quizzes, and count what is lost.

    python -m tests.benchmarks.journal_kills --kills 1000 --seed 1
    nice python -m tests.benchmarks.journal_kills --programs 1000 --seed 1

The first kills bare writers of the journal, a thousand in a minute. The second types into the real programs and kills
those, tens of minutes; with --programs 20 it is a sample.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from diagnose.journal.store import open_journal
from tests.journal.killing import Found, kill_once
from tests.journal.programs import KINDS, Tally, kill_program
from tests.knowledge_samples import sample


def main() -> int:
    """Run and print one line of figures; exit status 1 when anything was lost."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--no-room", type=int, default=100, help="runs in which the files may hardly grow")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--programs", type=int, default=0, help="kill the real programs instead, so often")
    given = parser.parse_args()
    return programs(given.programs, given.seed) if given.programs else writers(given)


def programs(kills: int, seed: int) -> int:
    """Kill real programs, every seventh time with hardly any room for the journal to grow."""
    started, kinds = time.perf_counter(), {kind: Tally() for kind in (*KINDS, "without room")}
    with tempfile.TemporaryDirectory() as folder:
        cache = Path(folder, "cache")
        for number in range(kills):
            data = Path(folder, f"journal-{number // 50}")  # fifty runs to a journal
            data.mkdir(exist_ok=True)
            room = 20_000 + 997 * number % 120_000 if number % 7 == 6 else None
            kind = KINDS[number // 7 % len(KINDS)] if room else KINDS[number % len(KINDS)]
            found = kill_program(data, cache, seed * 1_000_000 + number, kind=kind, room=room)
            kinds["without room" if room else kind].add(found)
            for fault in found.faults:
                print(f"seed {seed * 1_000_000 + number}, {kind}, room {room}: {fault}", flush=True)
            if number % 50 == 49 or number == kills - 1:
                print(f"after {time.perf_counter() - started:.0f} s", flush=True)
                _print(kinds)
    return int(not all(found.well for found in kinds.values()))


def _print(kinds: dict[str, Tally]) -> None:
    total = Tally()
    for found in kinds.values():
        total.add(found)
    for name, found in {**kinds, "all": total}.items():
        print(
            f"{name}: killed {found.kills} times; acknowledged {found.acknowledged}, lost {found.lost}; journals "
            f"unreadable {found.unreadable}; taken up again {found.resumed}, of these {found.compared} with a question "
            f"open, at another question {found.misplaced}; writes refused {found.refused}",
            flush=True,
        )


def writers(given: argparse.Namespace) -> int:
    """Kill bare writers of events."""
    sample()
    started = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "journal.sqlite3")
        open_journal(path).close()
        killed, starved = Found(), Found()
        for number in range(given.kills):
            killed.add(kill_once(path, given.seed * 1_000_000 + number))
        for number in range(given.no_room):
            small = Path(folder, f"small-{number}.sqlite3")
            open_journal(small).close()
            starved.add(kill_once(small, given.seed * 2_000_000 + number, room=number * 2000))
        size = path.stat().st_size
    for name, found, times in (("killed", killed, given.kills), ("without room", starved, given.no_room)):
        print(
            f"{name} {times} times: {found.acknowledged} events acknowledged, lost {found.lost}; "
            f"journals unreadable {found.unreadable}; consultations taken up again {found.resumed}, "
            f"at another question {found.misplaced}; refusals told {found.refused}"
        )
    print(f"{time.perf_counter() - started:.0f} s, journal {size / 1e6:.1f} MB at the end")
    return int(bool(killed.lost + killed.unreadable + killed.misplaced + starved.lost + starved.unreadable))


if __name__ == "__main__":
    raise SystemExit(main())
