"""How exact a machine's gauges are, as its profile says it."""

import pytest

from diagnose.values.quantity import Quantity

from .samples import MACHINE, SITE, loaded, told


def site_with(text):
    return {**SITE, "machines/BFP-2.yaml": f"{MACHINE.rstrip()}\ninstruments: {{{text}}}\n"}


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("exhaust-pressure: class 1.6 of 6 bar", Quantity(0.096, "bar")),
        ("exhaust-pressure: class 1 of 100 psi", Quantity(0.06894757, "bar")),
        ("bearing-temperature: within 2 K", Quantity(2.0, "K")),
        ("bearing-temperature: within 3.6 F", Quantity(2.0, "K")),
    ],
)
def test_the_largest_error_is_kept_in_the_readings_own_difference(text, error):
    """A class is per cent of the span (EN 837-1); units are those people write."""
    machine = loaded(site=site_with(text))[0].site.machines["BFP-2"]
    (kept,) = machine.instruments.values()
    assert kept.unit == error.unit
    assert kept.value == pytest.approx(error.value, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("exhaust-pressure: good", "not-an-instrument 'good' does not say how exact it is. Write 'class 1.6 of 6 bar'"),
        ("exhaust-pressure: class 1.6 of 6 C", "'C' is a unit of temperature, but pressure difference is wanted."),
        ("exhaust-pressure: within 0 bar", "wrong-quantity '0 bar' is no span."),
        ("exhaust-pressure: within 5", "wrong-quantity '5' has no unit."),
        ("exhaust-presure: within 1 bar", "unknown-finding There is no finding or condition 'exhaust-presure'."),
        ("sentinel: within 1 bar", "not-a-reading 'sentinel' is not a number."),
    ],
)
def test_a_faulty_instrument_is_told_once(text, says, pure):
    """One problem with its place says this."""
    lines = told(site=site_with(text), pure=pure)
    assert len(lines) == 1, lines
    assert says in lines[0]
