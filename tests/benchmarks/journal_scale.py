"""List, show and report in a journal of 100,000 consultations against one of 100: whole commands, in turn.

python -m tests.benchmarks.journal_scale --consultations 100000
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from diagnose.consultation import events
from diagnose.consultation.events import Answer, event_record
from diagnose.consultation.session import Session
from diagnose.journal.conclusions import conclusion
from diagnose.journal.outcomes import Outcome
from diagnose.journal.store import Kept, open_journal
from diagnose.knowledge import library

MACHINES = ("AC-1", "BFP-1", "BFP-2", "CP-4")


def fill(path: Path, count: int) -> None:
    """Keep so many consultations of six events each, nine in ten with an outcome, over the minutes of some years."""
    from dataclasses import asdict
    from datetime import UTC, datetime, timedelta

    knowledge = library.load(site=library.demo_site()).knowledge
    machine = knowledge.site.machines["BFP-2"]
    happened: list = []
    session = Session(knowledge, machine, keep=happened.append)
    session.do(events.Report("bearing-oil-look", Answer(value="milky")))
    for _ in range(3):
        session.do(events.CannotTell(session.open_question))
    session.do(events.Stop())
    bodies = [("consultation", event_record(one)) for one in happened]
    bodies.append(("conclusion", conclusion(session.view(), len(happened))))
    outcome = ("outcome", asdict(Outcome(causes=("cooling-jacket-leak",))))
    start = datetime(2020, 1, 1, tzinfo=UTC)
    journal = open_journal(path)
    with journal.writing():
        for number in range(count):
            at = (start + timedelta(minutes=20 * number)).isoformat(timespec="milliseconds")
            closed = [outcome] if number % 10 else []
            where = MACHINES[number % 50] if number % 50 < 3 else "BFP-2"
            for kind, body in [*bodies, *closed]:
                text = {**body, "machine": where} if body.get("kind") == "Started" else body
                journal.add(Kept(0, f"r-{number}", kind, at, where, knowledge.revision, text, "0"))
    journal.close()


def _timed(site: str, arguments: list[str], environment: dict[str, str]) -> float:
    started = time.perf_counter()
    command = [sys.executable, "-m", "diagnose", "journal", *arguments]
    subprocess.run(command, env={**environment, "DIAGNOSE_DATA": site}, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - started


def main() -> int:
    """Print a line for each command: least seconds of both, and the ratio."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--consultations", type=int, default=100_000)
    parser.add_argument("--rounds", type=int, default=7)
    given = parser.parse_args()
    worst = 0.0
    with tempfile.TemporaryDirectory() as folder:
        few, many = Path(folder, "few"), Path(folder, "many")
        fill(few / "demo-journal.sqlite3", 100)
        started = time.perf_counter()
        fill(many / "demo-journal.sqlite3", given.consultations)
        size = (many / "demo-journal.sqlite3").stat().st_size
        print(f"{given.consultations} consultations kept in {time.perf_counter() - started:.0f} s, {size / 1e6:.0f} MB")
        last = given.consultations - 2
        for few_arguments, many_arguments in (
            (["list"], ["list"]),
            (["list", "--machine", "AC-1"],) * 2,
            (["list", "--open"],) * 2,
            (["list", "--closed"],) * 2,
            (["list", "--cause", "cooling-jacket-leak"],) * 2,
            (["list", "--since", "2020-01-01", "--until", "2020-01-02"],) * 2,
            (["show", "r-50"], ["show", f"r-{last}"]),
            (["report", "r-50", "--out", "-"], ["report", f"r-{last}", "--out", "-"]),
        ):
            times: tuple[list[float], list[float]] = ([], [])
            for _ in range(given.rounds):
                times[0].append(_timed(str(few), few_arguments, dict(os.environ)))
                times[1].append(_timed(str(many), many_arguments, dict(os.environ)))
            one, other = map(min, times)  # the least disturbed
            worst = max(worst, other / one)
            print(f"{' '.join(few_arguments):40} {one:.3f} s with 100, {other:.3f} s, ratio {other / one:.2f}")
    return int(worst > 2)


if __name__ == "__main__":
    raise SystemExit(main())
