"""Governor classes and trips against NEMA SM 23 and API 611."""

import pytest

from diagnose.calculations import speed


@pytest.mark.parametrize(
    ("letter", "regulation", "variation", "rise", "trip"),
    [("A", 10, 0.75, 13, 115), ("B", 6, 0.50, 7, 110), ("C", 4, 0.25, 7, 110), ("D", 0.50, 0.25, 7, 110)],
)
def test_the_classes_are_those_of_nema_sm_23(letter, regulation, variation, rise, trip):
    """Steady-state regulation, speed variation, speed rise and trip of each class, in per cent."""
    assert speed.CLASSES[letter] == speed.GovernorClass(regulation, variation, rise, trip)


def test_worked_values_for_3600_rpm():
    """NEMA SM 23 definitions at 3600 rpm: class A may sag 360, swing 27 either way, peak 4068; D 18, 9, 3852."""
    assert speed.regulation(3960, 3600, 3600) == pytest.approx(speed.CLASSES["A"].regulation)
    assert speed.variation(3627, 3573, 3600) == pytest.approx(speed.CLASSES["A"].variation)
    assert speed.rise(4068, 3600) == pytest.approx(speed.CLASSES["A"].rise)
    assert speed.regulation(3618, 3600, 3600) == pytest.approx(speed.CLASSES["D"].regulation)
    assert speed.variation(3609, 3591, 3600) == pytest.approx(speed.CLASSES["D"].variation)
    assert speed.trip_share(4140, 3600) == pytest.approx(115)


def test_thirty_rpm_is_nearly_normal_on_a_and_wrong_on_d():
    """The same swing of 30 rpm either way at 3600 fits no class; 27 fits A alone."""
    assert speed.classes_met(varied=speed.variation(3630, 3570, 3600)) == ()
    assert speed.classes_met(varied=speed.variation(3627, 3573, 3600)) == ("A",)


def test_a_trip_that_climbs_is_not_good_even_inside_tolerance():
    """API 611: three successive trips, none outside the tolerance and no trend."""
    assert speed.trip_test([3930, 3950, 3970], 3960) == "trend"
    assert speed.trip_test([3950, 3970, 3940], 3960) == "good"
    assert speed.trip_test([3950, 4001, 3940], 3960) == "outside"
    assert speed.trip_test([3950, 3960], 3960) == "too-few"


@pytest.mark.parametrize("letter", "ABCD")
def test_droop_and_regulation_are_one_formula(letter):
    """NEMA SM 23: at the class's regulation the expected speed at rated load is just the regulation below no load."""
    allowed, rated = speed.CLASSES[letter].regulation, 3600.0
    full = speed.expected_speed(3650.0, allowed, rated, 1.0)
    assert speed.regulation(3650.0, full, rated) == pytest.approx(allowed)
    assert letter in speed.classes_met(regulated=allowed)
    assert letter not in speed.classes_met(regulated=allowed + 0.01)


def test_there_must_be_room_between_peak_and_trip():
    """NEMA SM 23 figures: class A may peak at 113 % and trips at 115, the others at 107 and 110."""
    for allowed in speed.CLASSES.values():
        assert speed.trip_margin(36 * allowed.trip, 3600 + 36 * allowed.rise, 3600) >= 2 - 1e-9
