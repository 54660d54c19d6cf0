"""Hunting in a speed series, told apart from load swings, drift and noise. Speed in rpm, time in s."""

from __future__ import annotations

from cmath import phase
from dataclasses import dataclass
from math import cos
from typing import TYPE_CHECKING

from diagnose.calculations.baseline import robust_spread
from diagnose.calculations.spectrum import Peak, highest_peak, wave_at, without_trend

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Swing", "swing_of"]

_FEWEST = 64  # samples
_CYCLES = 3  # fewer in the record cannot be told from drift
_SURE = 0.01  # chance of noise below which a swing is taken as real
_OF_LOAD = 0.3  # share of the load's own spread that its wave must have to be the mover


@dataclass(frozen=True, slots=True)
class Swing:
    """What a speed series shows.

    ``kind``: ``hunting`` (the load follows the speed or stands still), ``load-swing`` (the speed gives way to the
    load), ``swing`` (regular, but the load was not logged), ``drift``, ``noise`` or ``too-short``. ``width`` is peak
    to peak in rpm, ``period`` in s, ``confidence`` the chance that it is not noise; 0 where there is no swing.
    """

    kind: str
    width: float = 0.0
    period: float = 0.0
    confidence: float = 0.0


def swing_of(speeds: Sequence[float], step: float, load: Sequence[float] = (), *, accuracy: float = 1.0) -> Swing:
    """Judge an evenly sampled series, one sample every ``step`` seconds; ``load`` is sampled at the same times.

    A regular swing is a spectral peak of at least three cycles in the record that noise would show in less than one
    record of a hundred, wider than the tachometer's ``accuracy``. Under droop a swinging load moves the speed the
    other way; a hunting governor moves a pump's load along with the speed: the phase between them decides. A drift
    is a line that rises more than three times the scatter round it.
    """
    if len(speeds) < _FEWEST:
        return Swing("too-short")
    level, climb = without_trend(speeds)
    peak = highest_peak(level, _CYCLES)
    if peak is not None and peak.chance < _SURE and 2 * abs(peak.wave) > accuracy:
        kind = _mover(peak, load) if load else "swing"
        return Swing(kind, 2 * abs(peak.wave), step / peak.frequency, 1 - peak.chance)
    scatter = max(robust_spread(level), accuracy / 2)
    return Swing("drift" if abs(climb) > 3 * scatter else "noise")


def _mover(peak: Peak, load: Sequence[float]) -> str:
    """Tell which of the two moves the other, from the load's wave at the speed's frequency."""
    level, _ = without_trend(load)
    wave = wave_at(level, peak.frequency)
    spread = robust_spread(level)
    if spread == 0 or abs(wave) < _OF_LOAD * spread:
        return "hunting"
    apart = phase(wave) - phase(peak.wave)
    return "hunting" if cos(apart) > 0 else "load-swing"
