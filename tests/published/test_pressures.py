"""Gauge and absolute pressure against ISO 2533 and NIST SP 811."""

import pytest

from diagnose.calculations import pressure
from diagnose.values.quantity import STANDARD_ATMOSPHERE, read


def test_the_standard_atmosphere_is_that_of_iso_2533():
    """ISO 2533:1975, table 1: 101 325 Pa, one figure for readings and for physics."""
    assert pressure.STANDARD_ATMOSPHERE == STANDARD_ATMOSPHERE == 1.01325


@pytest.mark.parametrize(("typed", "absolute"), [("0 psig", 14.696), ("50 psig", 64.696), ("250 psig", 264.696)])
def test_psig_and_psia_differ_by_one_atmosphere(typed, absolute):
    """NIST SP 811, B.8: 14.696 psi are one standard atmosphere."""
    gauge = read(typed, "bar gauge").value
    assert pressure.absolute(gauge) / 0.0689475729 == pytest.approx(absolute, abs=1e-3)
    assert pressure.gauge(pressure.absolute(gauge)) == pytest.approx(gauge)


def test_the_margin_runs_from_one_at_the_usual_to_nought_at_the_limit():
    """A definition, for limits above and below."""
    assert [pressure.margin_left(one, 2.0, 2.6) for one in (2.0, 2.3, 2.6)] == pytest.approx([1, 0.5, 0])
    assert pressure.margin_left(0.6, 1.0, 0.5) == pytest.approx(0.2)
    with pytest.raises(ValueError, match="limit"):
        pressure.margin_left(1.0, 2.0, 2.0)
