"""A year of hourly rounds of 50 machines, 20 readings each, screened on one core: time against Python's csv, memory.

    python tests/benchmarks/rounds_year.py [years,years,...] [machines] [tries]

Prints seconds of processor time (other work on the machine does not count), their ratio to what the csv module takes to
read the same file, and the most memory that the process had; with several lengths also the time for each value, which
stays the same when growth is linear. Each length runs in a process of its own.
"""

from __future__ import annotations

import csv
import random
import resource
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from datetime import datetime, timedelta
from multiprocessing import get_context
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from diagnose.consultation.rounds import screen
from diagnose.knowledge import library

READINGS, SEED = 20, 20260101
USUAL = {"speed": 3560, "speed-swing": 8, "inlet-pressure": 17, "inlet-temperature": 260, "exhaust-pressure": 2.0, "exhaust-temperature": 165,
         "steam-chest-pressure": 13, "oil-header-pressure": 1.2, "oil-filter-drop": 0.3, "oil-supply-temperature": 45, "cooling-water-rise": 8,
         "vibration-velocity": 1.4, "shaft-vibration": 32, "coast-down-time": 95}  # fmt: skip
FEATURES = ("forced-lubrication", "vibration-probes", "bearing-thermometers", "jacket-cooling", "oil-cooler")


def plant(folder: Path, machines: int) -> None:
    """Write a site of so many machines, with four readings of its own beside the shipped sixteen."""
    own = "".join(
        f"  extra-{n}: {{ask: 'Reading {n}?', how: Read it., reading: {{unit: C, plausible: [-20, 400], accuracy: 1}}, source: from memory}}\n"
        for n in range(4)
    )
    files = {"site.yaml": "site: Benchmark\n", "rules/own.yaml": f"findings:\n{own}"}
    for n in range(machines):
        files[f"machines/M-{n}.yaml"] = (
            f"machine: M-{n}\ndrives: {{kind: centrifugal pump}}\nfeatures: [{', '.join(FEATURES)}]\n"
            f"shares: {{steam: header {n % 5}, exhaust: header {n % 7}}}\n"
        )
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)


def rounds(path: Path, readings: list, hours: int, machines: int) -> None:
    """Write seeded rounds: each reading stays round its own centre, but M-7 drifts and M-9 steps."""
    noise = random.Random(SEED)
    centres = [[USUAL.get(r.id, 60) * (0.99 + 0.02 * noise.random()) for r in readings] for _ in range(machines)]
    start = datetime(2026, 1, 1)  # noqa: DTZ001  sheets carry the plant's own clock
    pool = [noise.gauss(0, 1) for _ in range(100_003)]
    at = 0
    with path.open("w", newline="") as file:
        file.write("time,machine," + ",".join(f"{r.id} [{r.reading.unit}]" for r in readings) + "\n")
        for hour in range(hours):
            when = (start + timedelta(hours=hour)).isoformat(" ", "minutes")
            lines = []
            for n in range(machines):
                at += READINGS
                bits = pool[at % 100_003 :][:READINGS]
                bits += pool[: READINGS - len(bits)]
                shift = (hour / hours) * 8 if n == 7 else 6.0 if n == 9 and hour > hours / 2 else 0.0
                cells = [
                    f"{c + 0.004 * c * (b + (shift if k == 0 else 0)):.2f}"
                    for k, (c, b) in enumerate(zip(centres[n], bits, strict=True))
                ]
                lines.append(f"{when},M-{n},{','.join(cells)}\n")
            file.writelines(lines)


def read_by_csv(path: Path) -> float:
    """Return the seconds that the csv module takes to read the file."""
    began = time.process_time()
    with path.open(newline="") as file:
        for _ in csv.reader(file):
            pass
    return time.process_time() - began


def measured(years: float, machines: int, tries: int) -> tuple[float, float, float]:
    """Screen so many years; print the figures and return millions of values, seconds, and megabytes."""
    with tempfile.TemporaryDirectory() as folder:
        site, path = Path(folder), Path(folder) / "rounds.csv"
        plant(site, machines)
        loaded = library.load(site=site)
        if loaded.knowledge is None or loaded.problems:
            sys.exit("\n".join(one.line() for one in loaded.problems))
        readings = [one for one in loaded.knowledge.findings.values() if one.reading][:READINGS]
        hours = round(8760 * years)
        rounds(path, readings, hours, machines)
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        pairs = []
        for _ in range(tries):
            by_csv = read_by_csv(path)
            began = time.process_time()
            with path.open(newline="", encoding="utf-8-sig", buffering=1 << 20) as file:
                found = screen(file, loaded.knowledge)
            pairs.append((by_csv, time.process_time() - began))
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        by_csv, ours = (sorted(column)[len(pairs) // 2] for column in zip(*pairs, strict=True))
        named = sorted(one.machine for one in found.machines if one.needs_consultation)
        millions = machines * len(readings) * hours / 1e6
        print(
            f"{machines} machines x {len(readings)} readings x {hours} hours = {millions:.2f} million values, {path.stat().st_size / 1e6:.0f} MB"
        )
        print(
            f"csv module {by_csv:.2f} s, screened {ours:.2f} s: {ours / by_csv:.2f} times; peak {peak:.0f} MB ({before:.0f} MB before)"
        )
        print(f"named: {', '.join(named)}", flush=True)
        return millions, ours, peak


def main(lengths: list[float], machines: int, tries: int) -> None:
    """Run each length in a process of its own, and show how time and memory grow."""
    rows = []
    for years in lengths:
        with ProcessPoolExecutor(1, get_context("spawn")) as alone:
            rows.append(alone.submit(measured, years, machines, tries).result())
    for millions, seconds, peak in rows if len(rows) > 1 else ():
        print(f"{millions:8.2f} million values: {1e3 * seconds / millions:6.0f} ns a value, peak {peak:.0f} MB")


if __name__ == "__main__":
    given = [*sys.argv[1:], *("1", "50", "5")[len(sys.argv) - 1 :]]
    main([float(one) for one in given[0].split(",")], int(given[1]), int(given[2]))
