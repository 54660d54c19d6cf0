"""What the screening of rounds finds and how often it cries wolf, on seeded series with known truth.

    python tests/benchmarks/rounds_detection.py

False alarms: healthy machines with 20 readings, six rounds a day, a year, for three settings of the accepted rate and
for independent and for sluggish (day to day correlated) scatter. Detection: one reading of 20 drifts or steps for 60
days; sizes in sigmas of a day's level. Hunting: 10-minute logs at one sample a second, width in sigmas of the noise.
"""

from __future__ import annotations

import math
import random
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from diagnose.calculations.hunting import swing_of
from diagnose.consultation.round_judging import chart_of, history_of
from diagnose.knowledge.model import Finding, Reading
from diagnose.values.problem import Place

SEED, READINGS, YEAR = 20261125, 20, 365
NOWHERE = Place("", 1, 1)
READ = Finding(
    "x", "X?", "", {}, Reading("C", (-1e9, 1e9), 0.0), None, (), False, frozenset(), frozenset(), frozenset(), 1.0, "none",  # noqa: FBT003
    "operator", 1.0, 0.02, (), "", "from memory", NOWHERE,
)  # fmt: skip


def levels(noise: random.Random, days: int, memory: float = 0.0) -> list[float]:
    """Return day levels of sigma one, each day keeping a share ``memory`` of the day before."""
    value, values = noise.gauss(0, 1), []
    for _ in range(days):
        value = memory * value + noise.gauss(0, math.sqrt(1 - memory * memory))
        values.append(value)
    return values


def named(values: list[float], rate: float) -> bool:
    """Tell whether the chart of one of 20 readings names it at the end of the series."""
    times = [at * 1440.0 for at in range(len(values))]
    history = history_of(times, None)
    return chart_of(READ, times, values, [], history, READINGS * YEAR / rate)[1] is not None


def standing_alarms(noise: random.Random, rate: float, memory: float, machines: int) -> float:
    """Return false alarms a machine-year: charts that newly stand out, looked at every tenth day of a year of rounds."""
    alarms = 0
    for _ in range(machines * READINGS):
        values = levels(noise, 60 + YEAR, memory)
        standing = False
        for day in range(180, 60 + YEAR + 1, 10):
            now = named(values[:day], rate)
            alarms += now and not standing
            standing = now
    return alarms / (machines * (60 + YEAR - 180) / YEAR)


def found(noise: random.Random, shift, rate: float, tries: int) -> float:
    """Return the share of series in which a change that began 60 days ago is named today."""
    hits = 0
    for _ in range(tries):
        values = levels(noise, 240)
        hits += named([value + (shift(at - 180) if at >= 180 else 0.0) for at, value in enumerate(values)], rate)
    return hits / tries


def hunting_found(noise: random.Random, half: float, tries: int) -> float:
    """Return the share of logs in which a wave of half-width ``half`` sigmas is called a swing; 0 gives false calls."""
    hits = 0
    for _ in range(tries):
        value, period, begun, speeds = 0.0, noise.uniform(4, 60), noise.uniform(0, 6.28), []
        for at in range(600):
            value = 0.85 * value + noise.gauss(0, math.sqrt(1 - 0.85**2))
            speeds.append(3600 + value + half * math.sin(2 * math.pi * at / period + begun))
        hits += swing_of(speeds, 1.0, accuracy=0.2).kind == "swing"
    return hits / tries


def main() -> None:
    """Print the three tables."""
    noise = random.Random(SEED)
    print("False alarms a machine-year (20 readings), looked at every tenth day")
    print("  accepted   independent   correlated 0.5")
    for rate in (0.2, 1.0, 5.0):
        print(
            f"  {rate:8.1f}   {standing_alarms(noise, rate, 0.0, 12):11.2f}   {standing_alarms(noise, rate, 0.5, 12):14.2f}"
        )
    print("Probability of detection 60 days after the change began")
    print("  change                         accepted 0.2     1.0     5.0")
    changes = [(f"step of {size} sigma", lambda _, size=size: size) for size in (0.5, 1.0, 1.5, 2.0, 3.0)]
    changes += [(f"drift to {size} sigma", lambda day, size=size: size * day / 60) for size in (1.0, 2.0, 3.0, 5.0)]
    for title, shift in changes:
        shares = [found(noise, shift, rate, 200) for rate in (0.2, 1.0, 5.0)]
        print(f"  {title:28}   {shares[0]:12.2f}   {shares[1]:5.2f}   {shares[2]:5.2f}")
    print("Hunting in a ten-minute log of coloured noise, periods 4 to 60 s")
    for half in (0.0, 0.5, 1.0, 1.5, 2.0, 3.0):
        print(f"  half-width {half:3.1f} sigma: called a swing in {hunting_found(noise, half, 150):.2f}")


if __name__ == "__main__":
    main()
