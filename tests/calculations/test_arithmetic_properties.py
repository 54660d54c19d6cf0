"""What holds for any numbers: inverses, orders, shifts and scales."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.calculations import oil, speed, steam, vibration
from diagnose.calculations.baseline import huber, persistence, persistence_at_most, widened
from diagnose.calculations.trends import Trend, time_to
from diagnose.calculations.vibration_order import order_by_phase, order_of

ANY = settings(deadline=None, max_examples=60)
SPEEDS = st.floats(500, 15_000)
SAMPLES = st.lists(st.integers(-10_000, 10_000).map(lambda n: n / 16), min_size=8, max_size=60)


@ANY
@given(st.floats(0.01, 50), SPEEDS)
def test_velocity_and_displacement_undo_each_other(rms, rpm):
    """There and back is where it began."""
    assert vibration.velocity(vibration.displacement(rms, rpm), rpm) == pytest.approx(rms)


@ANY
@given(st.floats(0, 60), st.floats(0, 60), st.floats(1, 5000), st.booleans())
def test_more_vibration_is_never_a_better_zone(one, other, power, flexible):
    """The letter never goes back as the number grows, and flexible support never judges harder than rigid."""
    zones = vibration.housing_zones(power, flexible=flexible)
    low, high = sorted((one, other))
    assert zones.zone(low) <= zones.zone(high)
    if flexible and power >= 15:
        assert zones.zone(low) <= vibration.housing_zones(power, flexible=False).zone(low)


@ANY
@given(st.sampled_from([32.0, 46.0, 68.0, 100.0]), st.floats(85, 115), st.floats(0, 120), st.floats(0, 120))
def test_oil_thins_as_it_warms_and_its_index_comes_back(grade, index, one, other):
    """Hotter is thinner, for any ordinary oil; the viscosity at 100 C found for an index has that index."""
    hot = oil.at_100_for(grade, index)
    assert oil.viscosity_index(grade, hot) == pytest.approx(index, abs=0.5)
    cool, warm = sorted((one, other))
    points = ((40.0, grade), (100.0, hot))
    assert oil.viscosity_at(warm, *points) <= oil.viscosity_at(cool, *points) * (1 + 1e-9)


@ANY
@given(SPEEDS, st.floats(0, 12), st.floats(0, 1.2))
def test_the_speed_to_expect_gives_its_regulation_back(rated, sag, load):
    """From no load to rated load the expected speed sags by just the regulation."""
    no_load = rated * 1.05
    full = speed.expected_speed(no_load, sag, rated, 1.0)
    assert speed.regulation(no_load, full, rated) == pytest.approx(sag, abs=1e-6)
    between = speed.expected_speed(no_load, sag, rated, load)
    assert min(no_load, full) - 0.3 * sag * rated / 100 <= between <= no_load


@ANY
@given(SAMPLES, st.integers(-1000, 1000), st.sampled_from([0.25, 1.0, 8.0]))
def test_centre_and_sigma_go_with_shift_and_scale(values, shift, scale):
    """The same sample in other units and from another zero has the same centre and sigma in them."""
    centre, sigma = huber(values)
    moved = huber([scale * value + shift for value in values])
    size = max(1.0, *(abs(value) for value in values))
    assert moved[0] == pytest.approx(scale * centre + shift, abs=1e-3 * scale * size)
    assert moved[1] == pytest.approx(scale * sigma, abs=2e-3 * scale * size)
    assert min(values) <= centre <= max(values)


@ANY
@given(SAMPLES, st.floats(0, 3))
def test_doubt_only_widens(values, sureness):
    """Persistence lies from 0 to 0.95, a standard error more of doubt never narrows the chart."""
    found = persistence(values)
    at_most = persistence_at_most(found, len(values), sureness)
    assert 0 <= found <= at_most + 1e-12 <= 0.95 + 2e-12
    assert 1 <= widened(found, len(values), 0.0) <= widened(at_most, len(values), sureness) + 1e-12


@ANY
@given(st.floats(-720, 720))
def test_phase_is_the_same_seen_from_either_side(degrees):
    """Which side is called first does not matter."""
    assert order_by_phase(degrees) == order_by_phase(-degrees)


@ANY
@given(st.lists(st.tuples(st.floats(1, 900), st.floats(0, 20)), max_size=12), SPEEDS, st.floats(0.1, 50))
def test_any_spectrum_has_one_of_the_known_orders(lines, rpm, scale):
    """Whatever was read, the order is one that the rules know, or other; the unit of the amplitudes is no matter."""
    known = {"once-per-turn", "twice-or-axial", "below-half", "fractions-or-many", "random", "other"}
    assert order_of(lines, rpm) in known
    assert order_of([], rpm) == "other"
    if lines and min(height for _, height in lines) > 1e-6:
        assert order_of([(at, height * 4.0) for at, height in lines], rpm) == order_of(lines, rpm)


@ANY
@given(st.floats(-5, 5), st.floats(0, 5), st.floats(0, 100), st.floats(0, 100))
def test_the_soonest_time_comes_before_the_expected_and_that_before_the_latest(slope, spread, level, limit):
    """Soonest, expected and latest stand in order, and none is in the past."""
    until = time_to(limit, Trend(slope, slope - spread, slope + spread, level))
    times = [one for one in (until.soonest, until.expected, until.latest) if one is not None]
    assert times == sorted(times)
    assert all(one >= 0 for one in times)


@ANY
@given(st.floats(4, 45), st.floats(0, 150), st.floats(0.05, 0.9), st.floats(0.1, 0.8))
def test_an_efficiency_put_into_the_exhaust_comes_back_out(inlet, above, share, efficiency):
    """From efficiency to exhaust temperature and back, wherever the exhaust is dry enough to tell."""
    exhaust = max(1.0, inlet * share)
    if exhaust >= inlet * 0.95:
        return
    temperature = steam.saturation_temperature(inlet) + above
    warm = steam.exhaust_temperature(inlet, temperature, exhaust, efficiency)
    found = steam.stage_efficiency(inlet, temperature, exhaust, warm)
    if found is not None:
        assert found == pytest.approx(efficiency, abs=2e-3)
