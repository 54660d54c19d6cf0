"""What the screening of rounds finds and how often it cries wolf, on seeded series with known truth.

    python tests/benchmarks/rounds_detection.py [machines] [tries]

False alarms: healthy machines with 20 readings, a day's level each, a year, for three settings of the accepted rate
and for scatter that lasts from day to day in different ways: in none, all or half of the readings, in two of them
strongly, in each another. Detection: one reading of 20 drifts or steps for 60 days, in white and in lasting scatter;
sizes in sigmas of a day's level. Hunting: 10-minute logs at one sample a second, width in sigmas of the noise.
"""

from __future__ import annotations

import math
import random
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from diagnose.calculations.hunting import swing_of
from diagnose.consultation.round_judging import Fit, change_in, common_persistence, fit_of, history_of

SEED, READINGS, YEAR = 20261125, 20, 365
RATES = (0.2, 1.0, 5.0)
MEMORIES = {
    "independent": [0.0] * READINGS,
    "half of it left, all readings": [0.5] * READINGS,
    "four fifths left, all readings": [0.8] * READINGS,
    "half of it left, half the readings": [0.5, 0.0] * (READINGS // 2),
    "four fifths left, two readings": [0.8] * 2 + [0.0] * (READINGS - 2),
    "from none to four fifths": [0.8 * at / (READINGS - 1) for at in range(READINGS)],
}


def levels(noise: random.Random, days: int, memory: float = 0.0) -> list[float]:
    """Return day levels of sigma one, each day keeping a share ``memory`` of the day before."""
    value, values = noise.gauss(0, 1), []
    for _ in range(days):
        value = memory * value + noise.gauss(0, math.sqrt(1 - memory * memory))
        values.append(value)
    return values


def fitted(series: list[list[float]]) -> list[Fit]:
    """Return the fits of a machine's readings to their histories."""
    history = history_of([at * 1440.0 for at in range(len(series[0]))], None)
    return [fit_of(values, [], history, 0.0) for values in series]


def standing_alarms(noise: random.Random, memories: list[float], machines: int) -> list[float]:
    """Return false alarms a machine-year for each rate: charts that newly stand out, every tenth day of a year."""
    alarms = [0] * len(RATES)
    for _ in range(machines):
        series = [levels(noise, 60 + YEAR, memory) for memory in memories]
        standing: set[tuple[int, int]] = set()
        for day in range(180, 60 + YEAR + 1, 10):
            fits = fitted([values[:day] for values in series])
            common = common_persistence(fits)
            times = [at * 1440.0 for at in range(day)]
            now = {
                (at, which)
                for at, fit in enumerate(fits)
                for which, rate in enumerate(RATES)
                if change_in(fit, times, READINGS * YEAR / rate, common) is not None
            }
            for _, which in now - standing:
                alarms[which] += 1
            standing = now
    return [count / (machines * (60 + YEAR - 180) / YEAR) for count in alarms]


def found(noise: random.Random, memory: float, shift, tries: int) -> list[float]:
    """Return the share of machines on which a change of one reading that began 60 days ago is named today, by rate."""
    hits, days = [0] * len(RATES), 240
    times = [at * 1440.0 for at in range(days)]
    for _ in range(tries):
        series = [levels(noise, days, memory) for _ in range(READINGS)]
        series[0] = [value + (shift(at - 180) if at >= 180 else 0.0) for at, value in enumerate(series[0])]
        fits = fitted(series)
        common = common_persistence(fits)
        for which, rate in enumerate(RATES):
            hits[which] += change_in(fits[0], times, READINGS * YEAR / rate, common) is not None
    return [count / tries for count in hits]


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


def main(machines: int, tries: int) -> None:
    """Print the three tables."""
    noise = random.Random(SEED)
    print(f"False alarms a machine-year (20 readings), looked at every tenth day, {machines} machines")
    print("  scatter from day to day          accepted " + "  ".join(f"{rate:5.1f}" for rate in RATES))
    for title, memories in MEMORIES.items():
        rates = standing_alarms(noise, memories, machines)
        print(f"  {title:32}          " + "  ".join(f"{rate:5.2f}" for rate in rates), flush=True)
    changes = [(f"step of {size} sigma", lambda _, size=size: size) for size in (0.5, 1.0, 1.5, 2.0, 3.0)]
    changes += [(f"drift to {size} sigma", lambda day, size=size: size * day / 60) for size in (1.0, 2.0, 3.0, 5.0)]
    for memory in (0.0, 0.5):
        print(f"Probability of detection 60 days after the change began, {memory:.1f} left from day to day")
        print("  change                           accepted " + "  ".join(f"{rate:5.1f}" for rate in RATES))
        for title, shift in changes:
            shares = found(noise, memory, shift, tries)
            print(f"  {title:32}          " + "  ".join(f"{share:5.2f}" for share in shares), flush=True)
    print("Hunting in a ten-minute log of coloured noise, periods 4 to 60 s")
    for half in (0.0, 0.5, 1.0, 1.5, 2.0, 3.0):
        print(f"  half-width {half:3.1f} sigma: called a swing in {hunting_found(noise, half, tries):.2f}")


if __name__ == "__main__":
    main(*(int(one) for one in [*sys.argv[1:], "40", "150"][:2]))
