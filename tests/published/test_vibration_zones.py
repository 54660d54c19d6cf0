"""Vibration zones and conversions against ISO 20816-3, ISO 10816-1, ISO 7919-3 and API 611."""

import pytest

from diagnose.calculations import vibration
from diagnose.calculations.vibration import Zones


@pytest.mark.parametrize(
    ("power", "flexible", "zones"),
    [
        (650, False, Zones(2.3, 4.5, 7.1)),
        (650, True, Zones(3.5, 7.1, 11.0)),
        (220, False, Zones(1.4, 2.8, 4.5)),
        (220, True, Zones(2.3, 4.5, 7.1)),
        (7.5, False, Zones(0.71, 1.8, 4.5)),
    ],
)
def test_housing_zones_are_those_of_the_standard(power, flexible, zones):
    """ISO 20816-3 annex A by group and support (from memory); ISO 10816-1 annex B, class I, below 15 kW."""
    assert vibration.housing_zones(power, flexible=flexible) == zones


@pytest.mark.parametrize(
    ("rpm", "ab", "bc", "cd", "purchase"),
    [
        (1800, 113, 212, 311, 50.8),
        (3600, 80.0, 150, 220, 46.4),
        (5000, 67.9, 127, 187, 39.3),
        (6000, 62.0, 116, 170, 35.9),
    ],
)
def test_shaft_limits_by_speed(rpm, ab, bc, cd, purchase):
    """ISO 7919-3 constants and the API 611 shop limit, both from memory, as tabled for four speeds."""
    zones = vibration.shaft_zones(rpm)
    assert (zones.ab, zones.bc, zones.cd) == pytest.approx((ab, bc, cd), rel=0.005)
    assert vibration.shaft_purchase_limit(rpm) == pytest.approx(purchase, abs=0.06)


def test_two_mils_at_3600_rpm():
    """With v = pi f D, 2.0 mil peak to peak is 0.377 in/s peak, 6.77 mm/s rms."""
    rms = vibration.velocity(50.8, 3600)
    assert rms == pytest.approx(6.77, abs=0.005)
    assert rms / 0.70711 / 25.4 == pytest.approx(0.377, abs=0.001)


def test_a_change_counts_inside_the_good_zones_too():
    """ISO 20816-3, criterion II, from memory: over 25 % of the B/C value, up or down."""
    zones = Zones(1.4, 2.8, 4.5)
    assert vibration.changed(1.3, 0.5, zones)
    assert vibration.changed(0.5, 1.3, zones)
    assert not vibration.changed(1.1, 0.5, zones)


@pytest.mark.parametrize(
    ("order", "meant"),
    [(0.45, "half-or-under"), (0.5, "half"), (1.0, "once"), (2.0, "twice"), (6.0, "vane-pass"), (3.3, "other")],
)
def test_orders_have_their_usual_meaning(order, meant):
    """Textbook vibration charts, common practice: whirl just under half, looseness at half, unbalance at once..."""
    assert vibration.hint(order * 50, 3000, vanes=6) == meant
