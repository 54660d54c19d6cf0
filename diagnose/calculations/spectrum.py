"""The spectrum of an evenly sampled series, and the chance that a peak in it is only noise."""

from __future__ import annotations

from cmath import exp, pi
from dataclasses import dataclass
from math import cos, log
from typing import TYPE_CHECKING

from diagnose.calculations.baseline import median

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Peak", "highest_peak", "transform", "wave_at", "without_trend"]

_NEAR, _FAR = 2, 12  # bins beside a peak that belong to it, and out to where the noise round it is judged
_MEDIAN_TO_MEAN = log(2)  # of an exponential distribution, which the power of noise follows
_WORTH = 0.5  # a median judges the noise about as well as a mean of half as many bins


@dataclass(frozen=True, slots=True)
class Peak:
    """A peak: cycles a sample (between bins), chance of being noise, and the complex wave as amplitude and phase."""

    frequency: float
    chance: float
    wave: complex


def transform(values: Sequence[complex]) -> list[complex]:
    """X_k = sum of x_n exp(-2 pi i k n / N), N a power of two. Source: Cooley and Tukey 1965.

    >>> [round(abs(x), 6) for x in transform([1, 0, -1, 0])]
    [0.0, 2.0, 0.0, 2.0]
    """
    count = len(values)
    if count == 1:
        return list(values)
    even, odd = transform(values[0::2]), transform(values[1::2])
    turned = [exp(-2j * pi * at / count) * value for at, value in enumerate(odd)]
    return [a + b for a, b in zip(even, turned, strict=True)] + [a - b for a, b in zip(even, turned, strict=True)]


def without_trend(values: Sequence[float]) -> tuple[list[float], float]:
    """Return the values less their straight line (least squares), and the rise of that line from end to end.

    >>> without_trend([1.0, 2.0, 3.0])
    ([0.0, 0.0, 0.0], 2.0)
    """
    count = len(values)
    centre, middle = sum(values) / count, (count - 1) / 2
    slope = sum((at - middle) * value for at, value in enumerate(values)) * 12 / (count * (count * count - 1))
    return [value - centre - slope * (at - middle) for at, value in enumerate(values)], slope * (count - 1)


def highest_peak(values: Sequence[float], first: int) -> Peak | None:
    """Return the peak that stands out most over the noise round it, from bin ``first`` up; None when none can.

    The series is tapered (Hann). The power of noise in a bin is exponential; against a noise level judged from m
    other bins the ratio r has P(R > r) = (1 + r / m)^-m (an F ratio), and the best of K bins 1 - (1 - P)^K. The noise
    is judged near the peak, so that slow wandering, strong at low frequency, is no peak. Source: textbook spectral
    analysis (Percival and Walden 1993, chapter 10).
    """
    count = 1 << (len(values).bit_length() - 1)
    kept = values[-count:]
    spectrum = transform([value * (1 - cos(2 * pi * at / count)) for at, value in enumerate(kept)])
    power = [abs(one) ** 2 for one in spectrum[: count // 2]]
    candidates = range(first, len(power) - 1)
    peaks = [at for at in candidates if power[at - 1] < power[at] >= power[at + 1]]
    if not peaks:
        return None
    chances = {at: _chance(power, at) for at in peaks}
    best = min(peaks, key=lambda at: (chances[at], -power[at]))
    frequency = (best + _offset(power, best)) / count
    return Peak(frequency, 1 - (1 - chances[best]) ** len(candidates), wave_at(values, frequency))


def _chance(power: Sequence[float], at: int) -> float:
    beside = [
        power[other] for other in range(max(1, at - _FAR), min(len(power), at + _FAR + 1)) if abs(other - at) > _NEAR
    ]
    level = median(beside) / _MEDIAN_TO_MEAN
    worth = _WORTH * len(beside)
    return float((1 + power[at] / (level or 1e-300) / worth) ** -worth)


def _offset(power: Sequence[float], at: int) -> float:
    """Place the peak between bins by a parabola through the logarithms."""
    left, middle, right = (log(power[at + side] + 1e-300) for side in (-1, 0, 1))
    bend = left - 2 * middle + right
    return 0.0 if bend == 0 else (left - right) / (2 * bend)


def wave_at(values: Sequence[float], frequency: float) -> complex:
    """2 / sum(w) x sum of w x exp(-2 pi i f n): amplitude and phase of the wave of a frequency (cycles a sample).

    >>> round(abs(wave_at([3 * cos(2 * pi * 0.125 * n) for n in range(64)], 0.125)), 3)
    3.0
    """
    count = len(values)
    tapers = [1 - cos(2 * pi * at / count) for at in range(count)]
    tapered = (taper * value for taper, value in zip(tapers, values, strict=True))
    turned = sum((value * exp(-2j * pi * frequency * at) for at, value in enumerate(tapered)), 0j)
    return 2 * turned / sum(tapers)
