"""Rises and heat against API 612, API 611 habit and the water tables."""

import pytest

from diagnose.calculations import cooling
from diagnose.calculations.limits import standard_error


def test_rise_limits():
    """API 612:2014, 10.4.1: 30 K through a forced set; ring-oiled 40 K and cooling water 17 K from memory."""
    assert cooling.RISE_AT_MOST == {"forced oil": 30.0, "ring-oiled sump": 40.0, "cooling water": 17.0}
    assert cooling.bearing_rise(82.0, 45.0) < cooling.RISE_AT_MOST["ring-oiled sump"]


def test_heat_carried_by_jacket_water():
    """Q = 4.19 kg/s K: 12 l/min warmed by 10 K carry 8.38 kW."""
    assert cooling.heat_carried(12, 10) == pytest.approx(8.38, abs=0.001)


def test_a_class_1_6_gauge_of_25_bar():
    """EN 837-1 with JCGM 100:2008, 4.3.7: 0.4 bar at most is 0.23 bar of standard uncertainty."""
    assert standard_error(0.016 * 25) == pytest.approx(0.2309, abs=1e-4)
