"""Numbers with units as operators and planners write them."""

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.values.quantity import (
    CANONICAL_UNITS,
    Quantity,
    QuantityError,
    check_preferred,
    difference_unit,
    dimension,
    preferred,
    read,
    read_any,
    short,
    shown,
)

TYPED = [
    # pressure; 1 psi = 6894.757 Pa, 1 inHg = 3386.389 Pa (NIST SP 811)
    ("165 psig", "bar gauge", 11.37635),
    ("165psi", "bar gauge", 11.37635),
    ("11.4 bar", "bar gauge", 11.4),
    ("11,4 bar", "bar gauge", 11.4),
    ("1.2 barg", "bar gauge", 1.2),
    ("1.2 bar(g)", "bar gauge", 1.2),
    ("26 psia", "bar gauge", 26 * 0.06894757 - 1.01325),
    ("1.1 MPa", "bar gauge", 11.0),
    ("350 kPa gauge", "bar gauge", 3.5),
    ("12 inHg vac", "bar gauge", -12 * 0.03386389),
    ("-0.4", "bar gauge", -0.4),
    ("\u22120.4 bar gauge", "bar gauge", -0.4),
    ("1.2 bar g", "bar absolute", 2.21325),
    ("12 inHg vacuum", "bar absolute", 1.01325 - 12 * 0.03386389),
    ("10 psi", "bar", 0.6894757),
    ("10 psid", "bar", 0.6894757),
    # temperature
    ("180F", "C", 82.2222),
    ("82 °C", "C", 82),
    ("80 C", "C", 80),
    ("176 deg F", "C", 80),
    ("10 K", "K", 10),
    ("18 F", "K", 10),
    # vibration
    ("0.3 in/s", "mm/s rms", 0.3 * 25.4 * 0.7071),
    ("0.3 ips rms", "mm/s rms", 7.62),
    ("4.5 mm/s", "mm/s rms", 4.5),
    ("45 um", "um p-p", 45),
    ("45 µm", "um p-p", 45),
    ("2 mil", "um p-p", 50.8),
    ("1 mil peak", "um p-p", 50.8),
    ("0.05 mm p-p", "um p-p", 50),
    # the rest
    ("3550 rpm", "rpm", 3550),
    ("3,550 rpm", "rpm", 3550),
    ("3 550 rpm", "rpm", 3550),
    ("59 Hz", "rpm", 3540),
    ("1e3", "rpm", 1000),
    ("about 3550", "rpm", 3550),
    ("5 gpm", "l/min", 18.92706),
    ("5 gpm", "m3/h", 1.135624),
    ("46 cSt", "mm2/s", 46),
    ("0.05 %", "ppm", 500),
    ("300 hp", "kW", 223.70997),
    ("1000 lb/h", "kg/h", 453.59237),
    ("90 s", "min", 1.5),
    ("2 min", "s", 120),
    ("0.1 in", "mm", 2.54),
    ("1.5 TAN", "mg KOH/g", 1.5),
    ("12 amps", "A", 12),
]


@pytest.mark.parametrize(("text", "unit", "value"), TYPED)
def test_what_operators_type_is_understood(text, unit, value):
    """Each text gives the value worked out by hand, in the expected canonical unit."""
    quantity = read(text, unit)
    assert quantity.value == pytest.approx(value, rel=1e-5)
    assert quantity.unit == unit


ASSUMED = [
    ("11.4", "bar gauge", "No unit typed: taken as bar gauge."),
    ("11.4 bar", "bar gauge", "bar taken as bar gauge."),
    ("165 psi", "bar gauge", "psi taken as psi gauge."),
    ("0.3 in/s", "mm/s rms", "in/s taken as in/s peak."),
    ("45 um", "um p-p", "um taken as um p-p."),
    ("59 Hz", "rpm", "Hz taken as the speed of the shaft."),
    ("18 F", "K", "Taken as a difference."),
    ("3,550 rpm", "rpm", "3,550 read as 3550."),
    ("26 psia", "bar gauge", "psia is absolute: converted at one standard atmosphere."),
    ("2.9 bar gauge", "bar gauge", ""),
    ("80 °C", "C", ""),
]


@pytest.mark.parametrize(("text", "unit", "note"), ASSUMED)
def test_what_was_assumed_is_said(text, unit, note):
    """The note names every assumption, and is empty where none was made."""
    assert read(text, unit).note == note


REFUSED = [
    ("45 um", "mm/s rms", "'um' is a unit of displacement, but vibration velocity is wanted. Give it in mm/s rms."),
    ("180F", "bar gauge", "'F' is a unit of temperature, but pressure is wanted. Give it in bar gauge."),
    ("5 bar difference", "bar gauge", "'bar difference' is a unit of pressure difference, but pressure is wanted."),
    ("2 bar gauge", "bar", "'bar gauge' is a unit of pressure, but pressure difference is wanted."),
    ("353 K", "C", "'K' is a unit of temperature difference, but temperature is wanted."),
    ("12 um p-p", "mm", "'um p-p' is a unit of vibration displacement, but length is wanted."),
    ("1.2 bar", "bar absolute", "'bar' does not say gauge or absolute. Write 'bar gauge' or 'bar absolute'."),
    ("", "C", "'' is not a number."),
    ("hot", "C", "'hot' is not a number."),
    ("nan", "C", "'nan' is not a number."),
    ("1e999 C", "C", "'1e999 C' is too large to be a reading."),
    ("12 furlong", "C", "'furlong' is not a unit known here."),
    ("4.5 mm/sr", "mm/s rms", "'mm/sr' is not a unit known here. Did you mean 'mm/s'?"),
    ("5 " + "bar" * 60, "C", "is not a number."),
]


@pytest.mark.parametrize(("text", "unit", "says"), REFUSED)
def test_what_does_not_fit_is_refused_in_one_line(text, unit, says):
    """The error names what was typed, what is wanted, or the nearest right unit."""
    with pytest.raises(QuantityError) as raised:
        read(text, unit)
    assert says in str(raised.value)
    assert "\n" not in str(raised.value)


STRICT = [
    ("2.6 bar", "bar gauge", "'bar' does not say gauge or absolute. Write 'bar gauge' or 'bar absolute'."),
    ("3", "min", "3 has no unit. Write '3 min'."),
    ("10 C", "K", "'C' is a unit of temperature, but temperature difference is wanted. Give it in K."),
    ("0.3 in/s", "mm/s rms", "'in/s' does not say rms or peak. Write 'in/s rms' or 'in/s peak'."),
    ("45 um", "um p-p", "'um' does not say p-p or peak. Write 'um p-p' or 'um peak'."),
]


@pytest.mark.parametrize(("text", "unit", "says"), STRICT)
def test_files_may_leave_nothing_open(text, unit, says):
    """In files a missing unit or reference is an error that shows both ways to write it."""
    with pytest.raises(QuantityError) as raised:
        read(text, unit, strict=True)
    assert str(raised.value) == says


GUESSES = [
    ("38 bar", "bar gauge", (-1, 30), "Did you mean psi? 38 psi = 2.62 bar gauge."),
    ("38", "bar gauge", (-1, 30), "38 is more than this reading can be (30 bar gauge at most)."),
    ("180 C", "C", (-20, 150), "Did you mean F? 180 F = 82.2 C."),
    ("400 mm/s", "mm/s rms", (0, 50), "400 mm/s is more than this reading can be (50 mm/s rms at most). Read it again"),
    ("-5 bar", "bar gauge", (-1, 30), "-5 bar is less than this reading can be (-1 bar gauge at least)."),
]


@pytest.mark.parametrize(("text", "unit", "plausible", "says"), GUESSES)
def test_an_implausible_number_gets_a_guess(text, unit, plausible, says):
    """Outside the range, the unit that would make it plausible is offered with its result; none is made up."""
    with pytest.raises(QuantityError) as raised:
        read(text, unit, plausible=plausible)
    assert says in str(raised.value)


def test_the_ends_of_the_range_are_plausible():
    """The least and the most that a gauge shows can be read."""
    assert read("30 bar", "bar gauge", plausible=(-1, 30)).value == 30
    assert read("-1 bar", "bar gauge", plausible=(-1, 30)).value == -1


def test_the_atmosphere_of_the_place_counts():
    """At 0.9 bar of air pressure, 1 bar absolute is 0.1 bar gauge."""
    assert read("1 bar absolute", "bar gauge", atmosphere=0.9).value == pytest.approx(0.1)


ANY = [
    ("2.6 bar gauge", Quantity(2.6, "bar gauge")),
    ("0.8 bar", Quantity(0.8, "bar")),
    ("45 um p-p", Quantity(45, "um p-p")),
    ("30 s", Quantity(30, "s")),
    ("5 min", Quantity(5, "min")),
    ("50 Hz", Quantity(50, "Hz")),
    ("4.5 mm/s rms", Quantity(4.5, "mm/s rms")),
    ("10 K", Quantity(10, "K")),
    ("2 h", Quantity(120, "min")),
]


@pytest.mark.parametrize(("text", "quantity"), ANY)
def test_a_quantity_of_any_dimension_takes_its_own_unit(text, quantity):
    """Without an expected unit the written one decides the dimension."""
    assert read_any(text) == quantity


def test_a_bare_number_has_no_dimension():
    """Without an expected unit, a number alone is refused."""
    with pytest.raises(QuantityError, match="has no unit"):
        read_any("5")


SHOWN = [
    (Quantity(2.62, "bar gauge"), None, "2.62 bar gauge"),
    (Quantity(2.62, "bar gauge"), "psi gauge", "38 psi gauge"),
    (Quantity(80, "C"), "F", "176 F"),
    (Quantity(5.3881, "mm/s rms"), "in/s", "0.3 in/s"),
    (Quantity(50.8, "um p-p"), "mil", "2 mil"),
    (Quantity(3560, "rpm"), None, "3560 rpm"),
    (Quantity(12345.6, "kg/h"), None, "12346 kg/h"),
]


@pytest.mark.parametrize(("quantity", "unit", "text"), SHOWN)
def test_quantities_are_shown_in_three_figures(quantity, unit, text):
    """In the own unit or the preferred one."""
    assert shown(quantity, unit) == text


@pytest.mark.parametrize(
    ("unit", "of_dimension", "says"),
    [
        ("psi", "pressure", "'psi' is not a unit for bar gauge. Write 'psi gauge' or 'psi absolute'."),
        ("psia", "pressure", "'psia' is not a unit for bar gauge. Give it in bar gauge."),
        ("F", "pressure", "'F' is a unit of temperature, but pressure is wanted."),
        ("F", "temprature", "'temprature' is not something measured here. Did you mean 'temperature'?"),
        ("glug", "flow", "'glug' is not a unit known here."),
    ],
)
def test_a_preferred_unit_must_fit_its_dimension(unit, of_dimension, says):
    """A unit that could mislead, or measures something else, cannot be preferred."""
    with pytest.raises(QuantityError) as raised:
        check_preferred(unit, of_dimension)
    assert says in str(raised.value)


def test_differences_have_their_own_units():
    """Pressures differ in bar, temperatures in K, speeds in rpm."""
    assert [difference_unit(unit) for unit in ("bar gauge", "bar absolute", "C", "rpm")] == ["bar", "bar", "K", "rpm"]


@given(st.floats(-1e6, 1e6, allow_nan=False), st.sampled_from(CANONICAL_UNITS))
def test_a_canonical_quantity_reads_back_exactly(value, unit):
    """What is written with its canonical unit, in full, is what was meant."""
    assert read(f"{value!r} {unit}", unit, strict=True) == Quantity(value, unit)


@given(st.sampled_from(CANONICAL_UNITS), st.floats(0.1, 999, allow_nan=False))
def test_what_is_shown_reads_back_to_three_figures(unit, value):
    """Shown and read again, a quantity changes by less than its last figure."""
    assert read(shown(Quantity(value, unit)), unit).value == pytest.approx(value, rel=6e-3)


@given(st.text(max_size=150), st.sampled_from(CANONICAL_UNITS), st.booleans())
def test_any_text_is_a_quantity_or_one_clear_line(text, unit, strict):
    """Nothing typed escapes as another error, and every refusal is one printable line."""
    try:
        assert read(text, unit, strict=strict).unit == unit
    except QuantityError as error:
        assert str(error).isprintable()  # noqa: PT017  most texts are refused, some are not


def test_every_canonical_unit_has_a_dimension():
    """A site can prefer a unit for everything that is measured."""
    assert all(dimension(unit) for unit in CANONICAL_UNITS)
    assert (short(99.96), short(0.0451), short(3560.4)) == ("100", "0.0451", "3560")


def test_the_conversion_library_waits_until_it_is_needed():
    """Plain numbers and canonical units do not import pint; another unit does."""
    code = (
        "import sys; from diagnose.values.quantity import read, shown;"
        "shown(read('2.9 bar gauge', 'bar gauge')); read('3', 'C'); read('2,5 bar', 'bar gauge');"
        "before = 'pint' in sys.modules; read('40 psi', 'bar gauge'); print(before, 'pint' in sys.modules)"
    )
    assert subprocess.check_output([sys.executable, "-c", code], text=True).split() == ["False", "True"]


@pytest.mark.parametrize(
    ("unit", "units", "expected"),
    [
        ("K", {"temperature": "F"}, "F difference"),
        ("K", {"temperature": "C"}, None),
        ("K", {"temperature": "F", "temperature-difference": "K"}, "K"),
        ("bar", {"pressure": "psig"}, "psi"),
        ("bar", {"pressure": "kPa gauge"}, "kPa"),
        ("bar gauge", {"pressure": "psig"}, "psig"),
        ("kW", {"power": "hp"}, "hp"),
        ("rpm", {}, None),
    ],
)
def test_differences_follow_what_they_are_differences_of(unit, units, expected):
    """A site that prefers F and psi gauge reads differences in F and psi, unless it says otherwise."""
    assert preferred(unit, units) == expected
    if expected:
        assert shown(Quantity(10.0, unit), expected).endswith(expected)


def test_a_fahrenheit_difference_has_no_offset():
    """Ten kelvin are eighteen degrees Fahrenheit."""
    assert shown(Quantity(10.0, "K"), "F difference") == "18 F difference"
    assert read("18 F difference", "K").value == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [("120 Btu/lb", "kJ/kg", 279.12), ("22.73 lb/kWh", "kg/kWh", 10.310), ("16.95 lb/hp-h", "kg/kWh", 10.310)],
)
def test_steam_rates_and_heat_drops_convert(text, unit, value):
    """NIST SP 811, appendix B.8: 1 Btu/lb is 2.326 kJ/kg; a pound is 0.45359237 kg, a horsepower 745.6999 W."""
    assert read(text, unit).value == pytest.approx(value, rel=1e-4)
