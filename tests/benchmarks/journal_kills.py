"""Kill a writer with SIGKILL at random moments, in consultations, rounds and quizzes, and count what is lost.

python -m tests.benchmarks.journal_kills --kills 1000 --seed 1
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from diagnose.journal.store import open_journal
from tests.journal.killing import Found, kill_once
from tests.knowledge_samples import sample


def main() -> int:
    """Run and print one line of figures; exit status 1 when anything was lost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--no-room", type=int, default=100, help="runs in which the files may hardly grow")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
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
