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
