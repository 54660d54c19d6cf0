"""Hunting told apart from load swings, drift and noise, on seeded series with known truth."""

import math
import random

import pytest

from diagnose.calculations.hunting import swing_of


def wander(seed, count=600, spread=2.0, memory=0.85):
    """Return coloured noise, as a speed signal has."""
    noise, value, values = random.Random(seed), 0.0, []
    for _ in range(count):
        value = memory * value + noise.gauss(0, spread * (1 - memory**2) ** 0.5)
        values.append(3600 + value)
    return values


def wave(count, period, half):
    return [half * math.sin(2 * math.pi * at / period) for at in range(count)]


def added(*series):
    return [sum(values) for values in zip(*series, strict=True)]


@pytest.mark.parametrize(("period", "half"), [(6.0, 8.0), (11.3, 12.0), (24.0, 20.0)])
def test_a_hunt_is_found_with_its_width_and_period(period, half):
    """Width within a fifth and period within a twentieth of what was put in, with more than 99 % confidence."""
    steady = [70.0 + 0.01 * (at % 7) for at in range(600)]
    found = swing_of(added(wander(1), wave(600, period, half)), 1.0, steady)
    assert found.kind == "hunting"
    assert found.width == pytest.approx(2 * half, rel=0.2)
    assert found.period == pytest.approx(period, rel=0.05)
    assert found.confidence > 0.99


def test_a_load_that_swings_is_not_called_hunting():
    """Speed that gives way while the load rises is the load's doing."""
    load = [70 + 5 * math.sin(2 * math.pi * at / 20) for at in range(600)]
    speed = added(wander(2), [-10 * math.sin(2 * math.pi * at / 20) for at in range(600)])
    assert swing_of(speed, 1.0, load).kind == "load-swing"


def test_a_pump_that_follows_the_speed_leaves_it_hunting():
    """Load that rises with the speed follows it, so the governor hunts."""
    load = [70 + 1 * math.sin(2 * math.pi * at / 20 - 0.3) for at in range(600)]
    assert swing_of(added(wander(3), wave(600, 20, 10)), 1.0, load).kind == "hunting"


def test_without_a_load_it_is_only_a_swing():
    """What moves the speed is left open when the load was not logged."""
    assert swing_of(added(wander(4), wave(600, 9, 10)), 1.0).kind == "swing"


def test_a_drift_is_not_a_swing():
    """A speed that creeps along a line is a drift."""
    assert swing_of(added(wander(5), [0.05 * at for at in range(600)]), 1.0).kind == "drift"


def test_noise_is_seldom_called_a_swing():
    """Of 150 records of coloured noise at most six, four in a hundred, are taken for a swing."""
    wrong = sum(swing_of(wander(seed), 1.0).kind == "swing" for seed in range(100, 250))
    assert wrong <= 6


def test_few_samples_say_nothing():
    """Sixty samples are too few."""
    assert swing_of([3600.0] * 60, 1.0).kind == "too-short"
