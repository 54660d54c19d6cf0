"""The order of a vibration from spectra with known causes, and from phase across the coupling."""

from __future__ import annotations

import math
import random

import pytest

from diagnose.calculations.vibration_order import order_by_phase, order_of, ordered_lines

SPEED = 3000.0  # 50 Hz


def spectrum(lines, floor=0.02, seed=4):
    """Return 0 to 500 Hz in steps of 0.5, a noise floor and lines (order: amplitude) three points wide."""
    noise = random.Random(seed)
    points = {at / 2: floor * (0.5 + noise.random()) for at in range(1, 1000)}
    for order, height in lines.items():
        centre = round(order * SPEED / 60 * 2) / 2
        for beside, share in ((0, 1.0), (-0.5, 0.5), (0.5, 0.5)):
            points[centre + beside] = height * share
    return list(points.items())


@pytest.mark.parametrize(
    ("lines", "order"),
    [
        ({1: 4.0, 2: 0.5}, "once-per-turn"),
        ({1: 4.0, 2: 2.5}, "twice-or-axial"),
        ({2: 4.0, 1: 1.5}, "twice-or-axial"),
        ({0.44: 3.0, 1: 1.0}, "below-half"),
        ({0.5: 3.0, 1: 2.0, 1.5: 1.0}, "fractions-or-many"),
        ({1 / 3: 3.0, 1: 1.0}, "fractions-or-many"),
        ({1: 2.0, 2: 1.5, 3: 1.2, 4: 1.0, 5: 0.9, 6: 0.8}, "fractions-or-many"),
        ({6: 3.0, 1: 0.5}, "other"),
        ({}, "random"),
    ],
)
def test_orders_of_made_spectra(lines, order):
    """Unbalance, misalignment, whirl, rub, looseness, vane pass and flow noise, as the textbook charts have them."""
    assert order_of(spectrum(lines), SPEED, vanes=6) == order


def test_lines_are_named_largest_first_and_small_ones_left_out():
    """Three lines as read off a screen: the small one says nothing."""
    lines = ordered_lines([(300, 3.0), (50, 4.0), (100, 0.5)], SPEED, vanes=6)
    assert [(line.meaning, line.amplitude) for line in lines] == [("once", 4.0), ("vane-pass", 3.0)]


def test_nothing_read_tells_nothing():
    """No lines, or lines of no height, have no order."""
    assert order_of([], SPEED) == "other"
    assert order_of([(50, 0.0)], SPEED) == "other"


@pytest.mark.parametrize("turns", [-1, 0, 2])
@pytest.mark.parametrize(
    ("degrees", "order"), [(180, "twice-or-axial"), (155, "twice-or-axial"), (10, "once-per-turn"), (100, "other")]
)
def test_phase_counts_round_the_circle(degrees, order, turns):
    """The same angle written with whole turns more or less, or with the other sign, says the same."""
    assert order_by_phase(degrees + 360 * turns) == order
    assert order_by_phase(-degrees) == order


def test_any_scale_of_amplitude_gives_the_same_order():
    """Whether in mm/s or in/s, the shape of the spectrum decides."""
    points = spectrum({1: 4.0, 2: 2.5})
    assert order_of([(at, height / 25.4) for at, height in points], SPEED) == order_of(points, SPEED)
    assert not math.isnan(ordered_lines(points, SPEED)[0].order)
