"""Governing read off a logged series with known truth: width at one load, sag with load, peak after a lost load."""

from __future__ import annotations

import math
import random

import pytest

from diagnose.calculations import speed
from diagnose.calculations.speed_log import load_lost, sag, swing_width

RATED = 3600.0


def governed(loads, droop, seed=1, noise=0.8):
    """Return the speeds of a governor with so many % of regulation at these loads, with a tachometer's noise."""
    scatter = random.Random(seed)
    return [RATED + droop / 100 * RATED * (1 - load / 100) + scatter.gauss(0, noise) for load in loads]


@pytest.mark.parametrize("droop", [0.5, 4.0, 10.0])
def test_the_sag_with_load_gives_the_regulation_back(droop):
    """Everyday loads from 45 to 95 %, most of the time at 80: the regulation comes out within its interval."""
    loads = [80.0] * 2000 + [45 + at * 0.02 for at in range(2500)]
    line = sag(governed(loads, droop), loads)
    found = speed.regulation(-line.slope * 100, 0, RATED)
    assert found == pytest.approx(droop, abs=0.12)
    assert -line.high * 100 / RATED * 100 - 0.05 <= droop <= -line.low * 100 / RATED * 100 + 0.05


def test_a_load_that_hardly_moved_tells_no_regulation():
    """Ten points of load are too few, no load at all tells nothing."""
    assert sag([3600.0] * 100, [70 + at % 10 for at in range(100)]) is None
    assert sag([3600.0] * 100, []) is None


def test_the_width_is_taken_at_one_load_only():
    """A step of load in the middle moves the speed by 72 rpm, the swing at one load is 18."""
    loads = [90.0] * 300 + [40.0] * 200
    wave = [9 * math.sin(2 * math.pi * at / 8) for at in range(500)]
    speeds = [one + more for one, more in zip(governed(loads, 4.0, noise=0.1), wave, strict=True)]
    assert swing_width(speeds, loads) == pytest.approx(18, abs=1)
    assert swing_width(speeds) > 60
    assert swing_width(speeds[:20]) is None


def test_a_stray_of_the_tachometer_is_no_swing():
    """One sample in a thousand far out does not widen the swing."""
    speeds = [3600.0 + at % 3 for at in range(1000)]
    speeds[500] = 9999.0
    assert swing_width(speeds) < 200


def test_the_peak_after_a_lost_load_is_the_speed_rise():
    """Full load gone within two seconds, 6 % up: the rise of NEMA SM 23; an ordinary load change is no loss."""
    loads = [100.0] * 50 + [3.0] * 100
    speeds = [3600.0] * 50 + [3600 + 216 * math.exp(-((at - 4) ** 2) / 20) for at in range(100)]
    lost = load_lost(speeds, loads)
    assert lost.share == pytest.approx(97)
    assert speed.rise(lost.peak, RATED) == pytest.approx(6.0, abs=0.1)
    assert load_lost(speeds, [100 - at * 0.6 for at in range(150)]) is None
