"""Four processes write to one journal at once for a bounded time; nothing may be lost, order kept within each.

python -m tests.benchmarks.journal_processes --seconds 60
"""

from __future__ import annotations

import argparse
import multiprocessing
import tempfile
import time
from pathlib import Path

from diagnose.journal.store import open_journal


def _write(path: Path, name: str, seconds: float, told) -> None:
    journal = open_journal(path)
    ends, number, longest = time.monotonic() + seconds, 0, 0.0
    while (before := time.monotonic()) < ends:
        journal.append(name, "round", "2026-03-02T08:00:00.000+00:00", "P-1", "", {"n": number})
        longest = max(longest, time.monotonic() - before)
        number += 1
    told.put((name, number, longest))


def main() -> int:
    """Run and print the figures; exit status 1 when anything was lost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--processes", type=int, default=4)
    given = parser.parse_args()
    context = multiprocessing.get_context("spawn")
    lost = 0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "journal.sqlite3")
        open_journal(path).close()
        told = context.Queue()
        writers = [
            context.Process(target=_write, args=(path, f"w{n}", given.seconds, told)) for n in range(given.processes)
        ]
        for writer in writers:
            writer.start()
        reports = [told.get() for _ in writers]
        journal = open_journal(path)
        for name, number, longest in sorted(reports):
            kept = [one.body["n"] for one in journal.events(name)]
            lost += kept != list(range(number))
            order = "in order" if kept == list(range(number)) else "NOT as written"
            print(f"{name}: {number} events acknowledged, {len(kept)} kept, {order}; longest wait {longest:.2f} s")
        print(f"whole: {next(journal.rows('PRAGMA integrity_check'))[0]}")
    return int(bool(lost))


if __name__ == "__main__":
    raise SystemExit(main())
