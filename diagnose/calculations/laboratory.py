"""A laboratory's oil report, read from CSV lines: property, value, unit, and its value in new oil if given."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from typing import TYPE_CHECKING

from diagnose.calculations.oil import DIRTIEST, cleanliness_codes, judge
from diagnose.values.names import did_you_mean
from diagnose.values.quantity import QuantityError, read

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

__all__ = ["UNITS", "OilReport", "OilResult", "read_report"]

UNITS = {"water": "ppm", "viscosity": "mm2/s", "acid-number": "mg KOH/g", "rpvot": "min"}
_CALLED = {
    "water": ("water", "water content", "karl fischer"),
    "viscosity": ("viscosity", "viscosity at 40 c", "kv40", "viscosity 40"),
    "acid-number": ("acid number", "tan", "acid no", "total acid number"),
    "rpvot": ("rpvot", "oxidation life"),
    "particles": ("particles", "iso 4406", "cleanliness", "particle code"),
}
_WORDS = {"water": "water", "particles": "particles-high", "viscosity": "viscosity-off", "acid-number": "acid-high"}


@dataclass(frozen=True, slots=True)
class OilResult:
    """One property: its value as reported, and ``good``, ``watch``, ``act``, or ``not-judged`` (no value when new).

    ``value`` and ``new`` are in the unit of UNITS; a particle code has neither.
    """

    measured: str
    reported: str
    verdict: str
    value: float | None = None
    new: float | None = None


@dataclass(frozen=True, slots=True)
class OilReport:
    """All properties that could be read, and a line on each that could not."""

    results: tuple[OilResult, ...]
    complaints: tuple[str, ...]

    @property
    def word(self) -> str:
        """Return the finding that the report amounts to: its worst line, water first; ``normal`` when none is bad."""
        acting = {one.measured for one in self.results if one.verdict == "act"}
        return next((word for measured, word in _WORDS.items() if measured in acting), "normal")


def read_report(lines: Iterable[str]) -> OilReport:
    """Read a report with the columns property, value, unit and new (the last two may be missing), in any order.

    Raises QuantityError when the first line does not name property and value.

    >>> report = read_report(["property,value,unit,new", "Water content,1500,ppm,", "TAN,0.2,mg KOH/g,0.15"])
    >>> [(one.measured, one.verdict) for one in report.results], report.word
    ([('water', 'act'), ('acid-number', 'good')], 'water')
    """
    results: list[OilResult] = []
    complaints: list[str] = []
    for number, row in enumerate(_rows(lines, complaints), start=2):
        if not any(str(value or "").strip() for value in row.values()):
            continue
        named = {str(key).strip().lower(): str(value or "").strip() for key, value in row.items()}
        try:
            results.append(_result(named))
        except (QuantityError, ValueError) as error:
            complaints.append(f"line {number}: {error}")
    return OilReport(tuple(results), tuple(complaints))


def _rows(lines: Iterable[str], complaints: list[str]) -> Iterator[dict[str | None, str | None]]:
    reader = csv.DictReader(lines, restval="")
    try:
        columns = {str(one).strip().lower() for one in reader.fieldnames or ()}
        if not {"property", "value"} <= columns:
            mend = "Its first line names the columns: property,value,unit,new."
            raise QuantityError("The oil report has no columns 'property' and 'value'.", mend=mend)
        yield from reader
    except csv.Error as error:
        complaints.append(f"line {reader.line_num}: {error}; nothing below it was read")


def _result(row: Mapping[str, str]) -> OilResult:
    words = " ".join(row.get("property", "").lower().replace("-", " ").replace("@", " at ").replace("°", " ").split())
    measured = next((name for name, called in _CALLED.items() if words in called), "")
    if not measured:
        raise QuantityError(f"'{words}' is not a property known here.", mend=did_you_mean(words, _every_name()))
    reported = f"{row.get('value', '')} {row.get('unit', '')}".strip()
    if measured == "particles":
        codes = cleanliness_codes(row.get("value", ""))
        return OilResult(
            measured, reported, "act" if any(a > b for a, b in zip(codes, DIRTIEST, strict=True)) else "good"
        )
    unit = UNITS[measured]
    value = read(reported, unit).value
    new = read(f"{row['new']} {row.get('unit', '')}", unit).value if row.get("new") else None
    judged = measured == "water" or new is not None
    return OilResult(measured, reported, judge(measured, value, new) if judged else "not-judged", value, new)


def _every_name() -> tuple[str, ...]:
    return tuple(name for called in _CALLED.values() for name in called)
