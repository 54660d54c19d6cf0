"""Rises and heat against API 612, API 611 habit and the water tables."""

import pytest

from diagnose.calculations import cooling
from diagnose.calculations.limits import chance_above, chance_below, standard_error


def test_rise_limits():
    """API 612:2014, 10.4.1: 30 K through a forced set; ring-oiled 40 K and cooling water 17 K from memory."""
    assert cooling.RISE_AT_MOST == {"forced oil": 30.0, "ring-oiled sump": 40.0, "cooling water": 17.0}
    assert cooling.bearing_rise(82.0, 45.0) < cooling.RISE_AT_MOST["ring-oiled sump"]


def test_heat_carried_by_jacket_water():
    """Q = 4.19 kg/s K: 12 l/min warmed by 10 K carry 8.38 kW."""
    assert cooling.heat_carried(12, 10) == pytest.approx(8.38, abs=0.001)


def test_a_class_1_6_gauge_of_25_bar():
    """EN 837-1 with JCGM 100:2008, 4.3.7: 0.4 bar at most is 0.23 bar of standard uncertainty."""
    assert standard_error(1.6, 25) == pytest.approx(0.2309, abs=1e-4)


def test_a_class_1_gauge_of_ten_bar_leaves_a_chance_near_its_limit():
    """EN 837-1, class 1, 0 to 10 bar: 0.1 bar at most; JCGM 100:2008, 4.3.7 and G.1.3: at the limit the chance is a half."""
    error = standard_error(1.0, 10.0)
    assert chance_above(2.6, 2.6, error) == 0.5
    assert chance_above(2.6 + error, 2.6, error) == pytest.approx(0.8413, abs=1e-4)
    assert chance_below(2.6 + 2 * error, 2.6, error) == pytest.approx(0.0228, abs=1e-4)
