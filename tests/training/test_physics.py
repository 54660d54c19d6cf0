"""Numbers that can and cannot stand beside each other."""

import pytest

from diagnose.training.physics import impossible

USUAL = {
    "inlet-pressure": 17.0,
    "steam-chest-pressure": 13.5,
    "exhaust-pressure": 2.0,
    "inlet-temperature": 260.0,
    "exhaust-temperature": 165.0,
}


def test_a_healthy_machines_readings_are_possible():
    """The usual readings of a pump turbine raise nothing."""
    assert impossible(USUAL, running=True) == []


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"steam-chest-pressure": 19.0}, "pressure-rises-along-the-steam"),
        ({"exhaust-pressure": 14.0, "exhaust-temperature": 220.0}, "pressure-rises-along-the-steam"),
        ({"inlet-temperature": 190.0}, "inlet-steam-below-boiling-point"),
        ({"exhaust-temperature": 110.0}, "exhaust-steam-below-boiling-point"),
    ],
)
def test_what_steam_cannot_do_is_named(changed, code):
    """Pressure that rises along the flow and steam colder than boiling are refused while it runs."""
    assert impossible({**USUAL, **changed}, running=True) == [code]
    assert impossible({**USUAL, **changed}, running=False) == []
