"""A year of hourly rounds of 50 machines, 20 readings each, screened on one core: time against Python's csv, memory.

    python tests/benchmarks/rounds_year.py [years]

Prints seconds of processor time (other work on the machine does not count), their ratio to what the csv module takes to read the same file, and the peak memory of the process.
"""

from __future__ import annotations

import csv
import random
import resource
import sys
import tempfile
import time
from datetime import datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from diagnose.consultation.rounds import screen
from diagnose.knowledge import library

MACHINES, READINGS, SEED = 50, 20, 20260101
USUAL = {"speed": 3560, "speed-swing": 8, "inlet-pressure": 17, "inlet-temperature": 260, "exhaust-pressure": 2.0, "exhaust-temperature": 165,
         "steam-chest-pressure": 13, "oil-header-pressure": 1.2, "oil-filter-drop": 0.3, "oil-supply-temperature": 45, "cooling-water-rise": 8,
         "vibration-velocity": 1.4, "shaft-vibration": 32, "coast-down-time": 95}  # fmt: skip
FEATURES = ("forced-lubrication", "vibration-probes", "bearing-thermometers", "jacket-cooling", "oil-cooler")


def plant(folder: Path) -> None:
    """Write a site of 50 machines, with four readings of its own beside the shipped sixteen."""
    own = "".join(
        f"  extra-{n}: {{ask: 'Reading {n}?', how: Read it., reading: {{unit: C, plausible: [-20, 400], accuracy: 1}}, source: from memory}}\n"
        for n in range(4)
    )
    files = {"site.yaml": "site: Benchmark\n", "rules/own.yaml": f"findings:\n{own}"}
    for n in range(MACHINES):
        files[f"machines/M-{n}.yaml"] = (
            f"machine: M-{n}\ndrives: {{kind: centrifugal pump}}\nfeatures: [{', '.join(FEATURES)}]\n"
            f"shares: {{steam: header {n % 5}, exhaust: header {n % 7}}}\n"
        )
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)


def rounds(path: Path, readings: list, hours: int) -> None:
    """Write seeded rounds: each reading stays round its own centre, but M-7 drifts and M-9 steps."""
    noise = random.Random(SEED)
    centres = [[USUAL.get(r.id, 60) * (0.99 + 0.02 * noise.random()) for r in readings] for _ in range(MACHINES)]
    start = datetime(2026, 1, 1)  # noqa: DTZ001  sheets carry the plant's own clock
    pool = [noise.gauss(0, 1) for _ in range(100_003)]
    at = 0
    with path.open("w", newline="") as file:
        file.write("time,machine," + ",".join(f"{r.id} [{r.reading.unit}]" for r in readings) + "\n")
        for hour in range(hours):
            when = (start + timedelta(hours=hour)).isoformat(" ", "minutes")
            lines = []
            for n in range(MACHINES):
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


def main(years: float) -> None:
    """Run the benchmark and print its figures."""
    with tempfile.TemporaryDirectory() as folder:
        site, path = Path(folder), Path(folder) / "rounds.csv"
        plant(site)
        loaded = library.load(site=site)
        if loaded.knowledge is None or loaded.problems:
            sys.exit("\n".join(one.line() for one in loaded.problems))
        readings = [one for one in loaded.knowledge.findings.values() if one.reading][:READINGS]
        hours = round(8760 * years)
        rounds(path, readings, hours)
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        pairs = []
        for _ in range(5):
            by_csv = read_by_csv(path)
            began = time.process_time()
            with path.open(newline="", encoding="utf-8-sig", buffering=1 << 20) as file:
                found = screen(file, loaded.knowledge)
            pairs.append((by_csv, time.process_time() - began))
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        by_csv, ours = (sorted(column)[2] for column in zip(*pairs, strict=True))
        named = sorted(one.machine for one in found.machines if one.needs_consultation)
        print(
            f"{MACHINES} machines x {len(readings)} readings x {hours} hours = {MACHINES * len(readings) * hours / 1e6:.2f} million values, {path.stat().st_size / 1e6:.0f} MB"
        )
        print(
            f"csv module {by_csv:.2f} s, screened {ours:.2f} s: {ours / by_csv:.2f} times; peak {peak:.0f} MB ({before:.0f} MB before)"
        )
        print(f"named: {', '.join(named)}")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0)
