"""Scatter that lasts from day to day is not called a change; a real one in it still is."""

from __future__ import annotations

import random

import pytest

from diagnose.calculations.control_charts import cusum, limit_for
from diagnose.consultation.round_judging import change_in, common_persistence, fit_of, history_of

DAYS, READINGS = 300, 20
TIMES = [day * 1440.0 for day in range(DAYS)]
RARE = READINGS * 365 / 0.2  # blocks of one reading between false alarms: 0.2 a machine-year over 20 readings


def machine(seed, lasting):
    """Return the day levels of a machine's readings, each keeping a share of the day before."""
    noise, readings = random.Random(seed), []
    for _ in range(READINGS):
        value, values = noise.gauss(0, 1), []
        for _ in range(DAYS):
            value = lasting * value + noise.gauss(0, (1 - lasting**2) ** 0.5)
            values.append(value)
        readings.append(values)
    return readings


def fits_of(readings):
    return [fit_of(values, [], history_of(TIMES, None), 0.0) for values in readings]


@pytest.mark.parametrize("lasting", [0.5, 0.7])
def test_four_healthy_machines_ring_no_alarm(lasting):
    """At 0.2 a machine-year two in four machines over half a year would be more than bad luck: none of 80 charts rings."""
    alarms = 0
    for seed in range(4):
        fits = fits_of(machine(seed, lasting))
        common = common_persistence(fits)
        assert common == pytest.approx(lasting, abs=0.15)
        alarms += sum(change_in(fit, TIMES, RARE, common) is not None for fit in fits)
    assert alarms == 0


def test_the_same_scatter_taken_for_independent_would_ring_often():
    """A plain chart on the same 80 series rings more than ten times, so the test above can fail."""
    limit, rings = limit_for(RARE), 0
    for seed in range(4):
        for values in machine(seed, 0.5):
            rings += cusum(values[100:], limit) is not None
    assert rings > 10


def test_a_large_step_in_lasting_scatter_is_still_found():
    """Four sigma at day 220 are found on at least nine in ten of 20 readings, and dated within a month."""
    readings = [
        [value + (4.0 if day >= 220 else 0.0) for day, value in enumerate(values)] for values in machine(9, 0.5)
    ]
    fits = fits_of(readings)
    common = common_persistence(fits)
    found = [change for fit in fits if (change := change_in(fit, TIMES, RARE, common)) is not None]
    assert len(found) >= 18
    assert all(change.upward and abs(change.since - 220) <= 30 for change in found)


def test_one_sluggish_reading_is_known_by_itself_and_no_readings_have_no_persistence():
    """What one reading shows alone is not lost in the median of its machine's others."""
    readings = [machine(3, 0.9)[0], *machine(4, 0.0)[1:]]
    fits = fits_of(readings)
    assert fits[0].lasting > common_persistence(fits) + 0.4
    assert common_persistence([]) == 0.0
