"""A number with its unit: read as people type it, kept in the canonical unit of its dimension, shown again."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, NamedTuple

from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError
from diagnose.values.text import one_line
from diagnose.values.units import CANONICAL, DIMENSIONS, Unit, convert, difference_unit, dimension, parse, spellings

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = [
    "CANONICAL_UNITS",
    "STANDARD_ATMOSPHERE",
    "Quantity",
    "QuantityError",
    "check_preferred",
    "difference_unit",
    "dimension",
    "preferred",
    "read",
    "read_any",
    "short",
    "shown",
]

STANDARD_ATMOSPHERE = 1.01325  # bar, ISO 2533
CANONICAL_UNITS = tuple(CANONICAL)

_PEAK = 0.7071  # root mean square of a sine wave with peak 1
_LONGEST = 100
_NUMBER = re.compile(
    r"(?:about|approx\.?|ca\.?|~|≈)?\s*"
    r"([+-]?(?:\d{1,3}(?:[, ]\d{3})+(?:\.\d+)?|\d+[.,]\d*|[.,]\d+|\d+)(?:e[+-]?\d{1,3})?)",
    re.ASCII | re.IGNORECASE,
)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(?:[, ]\d{3})+(?:\.\d+)?", re.ASCII)
_DIFFERENCES = {"K": "temperature", "bar": "pressure"}  # canonical unit of a difference -> what it is one of
_SHOWN_DIFFERENCE = {"degF": "F difference", "psi": "psi", "kilopascal": "kPa", "millibar": "mbar", "megapascal": "MPa"}
_DEFAULT = {"pressure": "bar", "rotation": "rpm", "length": "mm", "time": "min", "flow": "l/min", "share": "%"}
_OTHERS = {
    "pressure": ("psi", "kPa", "bar", "kg/cm2", "mbar", "MPa"),
    "temperature": ("F", "C"),
    "velocity": ("in/s peak", "mm/s rms"),
    "length": ("um", "mil", "mm"),
    "flow": ("gpm", "l/min", "m3/h"),
    "mass flow": ("lb/h", "kg/h", "t/h"),
    "power": ("hp", "kW"),
    "time": ("s", "min"),
    "share": ("%", "ppm"),
}


class Quantity(NamedTuple):
    """A number in the canonical unit of its dimension. ``note`` says what was assumed while reading it."""

    value: float
    unit: str
    note: str = ""

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Quantity) and (self.value, self.unit) == (other.value, other.unit)

    def __hash__(self) -> int:
        return hash((self.value, self.unit))


class QuantityError(DiagnoseError):
    """What was typed is not a number with a unit that fits."""


def read(
    text: str,
    expected_unit: str,
    *,
    strict: bool = False,
    plausible: tuple[float, float] | None = None,
    atmosphere: float = STANDARD_ATMOSPHERE,
) -> Quantity:
    """Read what somebody typed as a quantity in ``expected_unit``, a canonical unit.

    An operator may leave the unit out, or say ``psi`` for ``psi gauge``: the note says what was taken for granted.
    With ``strict``, as in files, both are errors. ``plausible`` is the range of the reading in the expected unit;
    ``atmosphere`` is in bar. Raises QuantityError with one clear line.

    >>> read("2.9 bar gauge", "bar gauge").value
    2.9
    """
    number, unit_text, note = _split(text)
    quantity = _measured(number, unit_text, expected_unit, strict=strict, atmosphere=atmosphere)
    if plausible and not plausible[0] <= quantity.value <= plausible[1]:
        raise _out_of_range(text, number, quantity, plausible, atmosphere)
    notes = " ".join(one for one in (note, quantity.note) if one)
    return Quantity(quantity.value, quantity.unit, notes)


def read_any(text: str, *, atmosphere: float = STANDARD_ATMOSPHERE) -> Quantity:
    """Read a quantity of any dimension; its unit must be written. A bare ``bar`` is a pressure difference."""
    number, unit_text, note = _split(text)
    if not unit_text:
        raise QuantityError(f"'{one_line(text)}' has no unit.", mend="Write it with its unit, such as '82 C'.")
    expected = _own_unit(_parsed(unit_text))
    quantity = _measured(number, unit_text, expected, strict=False, atmosphere=atmosphere)
    return Quantity(quantity.value, expected, note)


def shown(quantity: Quantity, unit: str | None = None, *, atmosphere: float = STANDARD_ATMOSPHERE) -> str:
    """Give the quantity as text with three figures, in its own unit or in another of the same dimension.

    Raises QuantityError when ``unit`` is unknown or measures something else.

    >>> shown(Quantity(2.62, "bar gauge"))
    '2.62 bar gauge'
    """
    if unit is None or unit == quantity.unit:
        return f"{short(quantity.value)} {quantity.unit}"
    check_preferred(unit, dimension(quantity.unit))
    canonical, wanted = CANONICAL[quantity.unit], _parsed(unit)
    wanted = wanted._replace(reference=_reference(wanted, canonical))
    value = _moved(quantity.value, canonical.reference, wanted.reference, atmosphere)
    return f"{short(convert(value, canonical.expression, wanted.expression) / _factor(wanted))} {unit}"


def preferred(unit: str, units: Mapping[str, str]) -> str | None:
    """Return the unit in which a site shows a canonical one, from its preferences by dimension; None without any.

    A difference that nothing is said of follows its own kind: a site that reads F and psi gauge shows differences in
    ``F difference`` and ``psi``.

    >>> preferred("K", {"temperature": "F"}), preferred("bar", {"pressure": "psi gauge"}), preferred("C", {})
    ('F difference', 'psi', None)
    """
    own = units.get(DIMENSIONS[unit])
    if own or unit not in _DIFFERENCES:
        return own
    of_kind = units.get(_DIFFERENCES[unit], "")
    expression = _parsed(of_kind).expression if of_kind else ""
    return _SHOWN_DIFFERENCE.get(expression)


def short(value: float) -> str:
    """Give a number in three figures, or whole from 100 on, never with an exponent for everyday sizes."""
    return f"{value:.0f}" if abs(value) >= 99.95 else f"{value:.3g}"  # noqa: PLR2004


def check_preferred(unit: str, of_dimension: str) -> None:
    """Raise QuantityError unless ``unit`` can show that dimension; a pressure must say gauge or absolute."""
    canonical = next((one for one, name in DIMENSIONS.items() if name == of_dimension), None)
    if canonical is None:
        mend = did_you_mean(of_dimension, DIMENSIONS.values())
        raise QuantityError(f"'{one_line(of_dimension)}' is not something measured here.", mend=mend)
    given, wanted = _parsed(unit), CANONICAL[canonical]
    if given.kind != wanted.kind:
        raise _wrong_dimension(unit, given, canonical)
    fitting = ("difference", "") if wanted.reference == "difference" else (wanted.reference,)
    if _clash(given, wanted) or (wanted.kind == "pressure" and given.reference not in fitting):
        raise QuantityError(f"'{one_line(unit)}' is not a unit for {canonical}.", mend=_say_reference(unit, canonical))


def _split(text: str) -> tuple[float, str, str]:
    """Cut what was typed into number, unit text and a note on how the number was read."""
    stripped = text.strip().replace("\u2212", "-").replace("\u00a0", " ").replace("\u202f", " ")
    found = _NUMBER.match(stripped) if len(stripped) <= _LONGEST else None
    if not found:
        raise QuantityError(
            f"'{one_line(text)}' is not a number.", mend="Type a number and its unit, such as '2.9 bar'."
        )
    written = found[1]
    thousands = _THOUSANDS.fullmatch(written)
    number = float(re.sub("[, ]", "", written) if thousands else written.replace(",", "."))
    if not math.isfinite(number):
        raise QuantityError(f"'{one_line(text)}' is too large to be a reading.")
    note = f"{written} read as {number:.10g}." if thousands else ""
    return number, " ".join(stripped[found.end() :].split()), note


def _measured(number: float, unit: str, expected: str, *, strict: bool, atmosphere: float) -> Quantity:
    if unit == expected:
        return Quantity(number, expected)
    if not unit:
        if strict:
            raise QuantityError(f"{number:.10g} has no unit.", mend=f"Write '{number:.10g} {expected}'.")
        return Quantity(number, expected, f"No unit typed: taken as {expected}.")
    wanted = CANONICAL[expected]
    given, note = _settled(_parsed(unit, expected), unit, expected, strict=strict)
    value = convert(number * _factor(given), given.expression, wanted.expression)
    return Quantity(_moved(value, given.reference, wanted.reference, atmosphere), expected, note)


def _settled(given: Unit, unit: str, expected: str, *, strict: bool) -> tuple[Unit, str]:
    """Say which reference a unit has where none was written, or raise; the note says what was taken for granted."""
    wanted = CANONICAL[expected]
    if (given.kind, wanted.kind) == ("temperature", "temperature difference") and not strict:
        return Unit(wanted.kind, {"degC": "kelvin", "degF": "delta_F"}[given.expression], ""), "Taken as a difference."
    if given.kind != wanted.kind or _clash(given, wanted):
        raise _wrong_dimension(unit, given, expected)
    reference = _reference(given, wanted)
    if reference == given.reference:
        return given, _note_on_reference(given, wanted, unit)
    if strict or reference == "absolute":
        mend = _say_reference(unit, expected)
        raise QuantityError(f"'{one_line(unit)}' does not say {_choices(wanted.kind)}.", mend=mend)
    return given._replace(reference=reference), f"{one_line(unit)} taken as {one_line(unit)} {reference}."


def _reference(given: Unit, wanted: Unit) -> str:
    """Give the reference that a unit has, or that is taken for granted when it says none."""
    if given.reference or not wanted.reference:
        return given.reference
    if wanted.reference == "difference":
        return ""
    if wanted.kind == "velocity":
        return "peak" if given.expression.startswith("inch") else "rms"
    return wanted.reference


def _note_on_reference(given: Unit, wanted: Unit, unit: str) -> str:
    if given.kind == "rotation" and given.expression != wanted.expression:
        return f"{one_line(unit)} taken as the speed of the shaft."
    if given.reference != wanted.reference and {given.reference, wanted.reference} == {"gauge", "absolute"}:
        return f"{one_line(unit)} is {given.reference}: converted at one standard atmosphere."
    return ""


def _clash(given: Unit, wanted: Unit) -> bool:
    """Tell whether a written reference cannot become the wanted one: a difference is no gauge pressure."""
    if given.kind != wanted.kind or not given.reference:
        return False
    if given.kind == "pressure":
        return (given.reference == "difference") != (wanted.reference == "difference")
    return given.kind == "length" and not wanted.reference


def _factor(unit: Unit) -> float:
    """Give what a number in this reference is multiplied by: 0.7071 from peak to rms, 2 from peak to peak-to-peak."""
    if unit.reference != "peak":
        return 1.0
    return _PEAK if unit.kind == "velocity" else 2.0


def _moved(value: float, given: str, wanted: str, atmosphere: float) -> float:
    """Move a pressure in bar from one zero to another; anything else stays."""
    above_vacuum = {"gauge": value + atmosphere, "vacuum": atmosphere - abs(value), "absolute": value}
    if given == wanted or given not in above_vacuum:
        return value
    absolute = above_vacuum[given]
    return {"gauge": absolute - atmosphere, "vacuum": atmosphere - absolute}.get(wanted, absolute)


def _parsed(unit: str, expected: str = "") -> Unit:
    given = parse(unit)
    if given is None:
        likely = (one for one in (*CANONICAL, *spellings()) if not expected or _measures(one) == _measures(expected))
        mend = did_you_mean(unit, likely, few=0) or (f"Type it in {expected}." if expected else "")
        raise QuantityError(f"'{one_line(unit)}' is not a unit known here.", mend=mend)
    return given


def _measures(unit: str) -> str:
    known = parse(unit)
    return known.kind if known else ""


def _own_unit(given: Unit) -> str:
    """Give the canonical unit for a unit that may be anything: the same expression first, then the same reference."""
    reference = {"vacuum": "gauge", "peak": "rms" if given.kind == "velocity" else "p-p"}.get(
        given.reference, given.reference
    )
    same_kind = [one for one, unit in CANONICAL.items() if unit.kind == given.kind]
    for unit in same_kind:
        if CANONICAL[unit].expression == given.expression and CANONICAL[unit].reference == reference:
            return unit
    referred = [one for one in same_kind if reference and CANONICAL[one].reference == reference]
    return referred[0] if referred else _DEFAULT.get(given.kind, same_kind[0])


def _wrong_dimension(unit: str, given: Unit, expected: str) -> QuantityError:
    wanted = DIMENSIONS[expected].replace("-", " ")
    typed = DIMENSIONS[_own_unit(given)].replace("-", " ")
    if given.kind == "length" and wanted.startswith("vibration"):
        typed = "displacement"
    return QuantityError(
        f"'{one_line(unit)}' is a unit of {typed}, but {wanted} is wanted.", mend=f"Give it in {expected}."
    )


def _choices(kind: str) -> str:
    return {"pressure": "gauge or absolute", "velocity": "rms or peak", "length": "p-p or peak"}[kind]


def _say_reference(unit: str, expected: str) -> str:
    if _parsed(unit).reference:
        return f"Give it in {expected}."
    first, _, second = _choices(CANONICAL[expected].kind).partition(" or ")
    bare = one_line(unit)
    return f"Write '{bare} {first}' or '{bare} {second}'."


def _out_of_range(
    text: str, number: float, quantity: Quantity, plausible: tuple[float, float], atmosphere: float
) -> QuantityError:
    low, high = plausible
    side, limit, most = ("more", high, "most") if quantity.value > high else ("less", low, "least")
    says = f"{one_line(text)} is {side} than this reading can be ({short(limit)} {quantity.unit} at {most})."
    for other in _OTHERS.get(CANONICAL[quantity.unit].kind, ()):
        guess = _measured(number, other, quantity.unit, strict=False, atmosphere=atmosphere).value
        if low <= guess <= high:
            meant = f"{number:.10g} {other} = {short(guess)} {quantity.unit}"
            return QuantityError(says, mend=f"Did you mean {other}? {meant}.")
    return QuantityError(says, mend="Read it again, and type its unit.")
