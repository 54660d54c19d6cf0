"""The header of a round sheet or logger export: which column holds what, of which machine, in which unit."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from diagnose.values import quantity
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from diagnose.knowledge.model import Finding, Knowledge, Machine

__all__ = ["BESIDE", "Column", "Sheet", "affine", "read_header"]

BESIDE = ("load", "ambient")  # what a reading depends on; no finding of their own
_TIMES = ("time", "date", "datetime", "date and time", "timestamp", "date/time", "when")
_MACHINES = ("machine", "turbine", "equipment", "unit", "tag", "asset")
_READINGS = ("reading", "parameter", "point", "measurement")
_VALUES = ("value", "reading value", "pv")
_UNITS = ("uom", "units", "unit of measure", "engineering unit")
_WITH_UNIT = re.compile(r"(?P<name>.*?)\s*(?:[\[(](?P<inside>[^\])]*)[\])]|,\s*(?P<after>[^,]*))\s*")


class Column(NamedTuple):
    """A column of one machine: a finding (or load, ambient) whose canonical value is ``cell * scale + offset``."""

    at: int
    header: str
    measured: str
    unit: str  # canonical; "" for words and for what readings depend on
    scale: float
    offset: float


class Sheet(NamedTuple):
    """Where time and machine stand (-1: no such column), and the columns of each machine that the site knows.

    A file with one row a value has ``reading`` and ``value`` columns, and perhaps ``units``.
    """

    width: int
    time: int
    machine: int
    reading: int
    value: int
    units: int
    columns: Mapping[str, tuple[Column, ...]]
    by_name: Mapping[str, str]  # what a sheet calls a machine, lower case -> its id
    complaints: tuple[str, ...]


def read_header(cells: Sequence[str], knowledge: Knowledge, only: str = "") -> Sheet:
    """Read a header against the machines' layouts; ``only`` names the machine of a file that names none.

    Raises DiagnoseError when there is no column of times, or nothing says which machine a row is of.
    """
    machines = knowledge.site.machines
    names = [_name_and_unit(cell)[0].lower() for cell in cells]
    layouts = [machine.rounds for machine in machines.values() if machine.rounds]

    def where(usual: Iterable[str], own: Iterable[str]) -> int:
        wanted = [one.lower() for one in own if one] + list(usual)
        return next((names.index(one) for one in wanted if one in names), -1)

    time = where(_TIMES, (one.time_column for one in layouts))
    if time < 0:
        mend = "Name it under 'rounds: time-column' in the machine's profile, or call it 'time'."
        raise DiagnoseError(f"No column holds the time; the columns are: {', '.join(cells)[:200]}.", mend=mend)
    machine = where(_MACHINES, (one.machine_column for one in layouts))
    reading = where(_READINGS, (one.reading_column for one in layouts))
    value = where(_VALUES, (one.value_column for one in layouts))
    taken = {time, machine, *((reading, value) if reading >= 0 and value >= 0 else ())}
    if only or machine >= 0 or len(machines) == 1:
        concerned = [machines[only]] if only else list(machines.values())
    else:
        concerned = []
    columns, complaints = _columns(cells, taken, knowledge, concerned)
    if reading < 0 and not any(columns.values()):
        mend = "Add a column 'machine', name it in the headers, or use --machine."
        raise DiagnoseError("Nothing in the header says what is measured on which machine.", mend=mend)
    by_name = {called.lower(): one.id for one in machines.values() for called in _called(one)}
    long = reading >= 0 and value >= 0
    return Sheet(
        len(cells), time, machine, reading if long else -1, value if long else -1, where(_UNITS, ()) if long else -1,
        columns, by_name, () if long else tuple(complaints),
    )  # fmt: skip


def affine(unit: str, canonical: str) -> tuple[float, float]:
    """Return scale and offset from a unit as written to the canonical one. Raises QuantityError when it does not fit.

    >>> round(affine("F", "C")[0], 6)
    0.555556
    """
    at_zero, at_hundred = (quantity.read(f"{number} {unit}", canonical).value for number in (0, 100))
    return (at_hundred - at_zero) / 100, at_zero


def _columns(
    cells: Sequence[str], taken: set[int], knowledge: Knowledge, concerned: Sequence[Machine]
) -> tuple[dict[str, tuple[Column, ...]], list[str]]:
    """Give each machine its columns: those that name it, and, where rows tell the machine, those that name none."""
    found: dict[str, list[Column]] = {}
    complaints: list[str] = []
    words = _words(knowledge.findings)
    prefixes = sorted(
        ((called.lower(), machine) for machine in knowledge.site.machines.values() for called in _called(machine)),
        key=lambda pair: -len(pair[0]),
    )
    for at, cell in enumerate(cells):
        if at in taken:
            continue
        name, unit = _name_and_unit(cell)
        owner, rest = _owner(name, prefixes)
        seen = False
        for machine in [owner] if owner else concerned:
            measured = _measured(rest, machine, words)
            if measured:
                seen = True
                try:
                    column = _column(at, cell, measured, unit or _own_unit(rest, machine), knowledge.findings)
                except DiagnoseError as error:
                    complaints.append(f"column '{cell.strip()}' is left out: {error}")
                    break
                found.setdefault(machine.id, []).append(column)
        if not seen:
            complaints.append(
                f"column '{cell.strip()}' is not known and is left out. {did_you_mean(rest, words)}".rstrip()
            )
    return {machine: tuple(columns) for machine, columns in found.items()}, complaints


def _column(at: int, cell: str, measured: str, unit: str, findings: Mapping[str, Finding]) -> Column:
    finding = findings.get(measured)
    if finding is None or finding.reading is None:
        return Column(at, cell.strip(), measured, "", 1.0, 0.0)
    canonical = finding.reading.unit
    scale, offset = affine(unit, canonical) if unit else (1.0, 0.0)
    return Column(at, cell.strip(), measured, canonical, scale, offset)


def _called(machine: Machine) -> tuple[str, ...]:
    return (machine.id, *(machine.rounds.called if machine.rounds else ()))


def _owner(name: str, prefixes: Sequence[tuple[str, Machine]]) -> tuple[Machine | None, str]:
    """Part a header such as ``BFP-2 inlet pressure`` into the machine and the rest."""
    low = name.lower()
    for called, machine in prefixes:
        rest = low[len(called) :]
        if low.startswith(called) and rest[:1] in (" ", ".", "_", ":", "/", "|"):
            return machine, name[len(called) + 1 :].strip(" ._:/|-")
    return None, name


def _measured(name: str, machine: Machine, words: Mapping[str, str]) -> str:
    layout = machine.rounds
    own = {header.lower(): measured for header, measured in layout.columns.items()} if layout else {}
    low = name.lower()
    return own.get(low) or words.get(_plain(low)) or (low if low in BESIDE else "")


def _own_unit(name: str, machine: Machine) -> str:
    units = machine.rounds.units if machine.rounds else {}
    return next((unit for header, unit in units.items() if header.lower() == name.lower()), "")


def _words(findings: Mapping[str, Finding]) -> dict[str, str]:
    """Map plain words to findings: an id in words, or, for a reading, what operators call it."""
    words: dict[str, str] = {}
    for finding in findings.values():
        if finding.reading:
            for called in finding.also_called:
                words.setdefault(_plain(called), finding.id)
    return words | {_plain(finding.id): finding.id for finding in findings.values() if not finding.concluded}


def _plain(text: str) -> str:
    return " ".join(text.lower().replace("-", " ").replace("_", " ").split())


def _name_and_unit(cell: str) -> tuple[str, str]:
    """Part ``PI 201 (psig)``, ``PI 201 [psig]`` or ``PI 201, psig`` into name and unit."""
    text = cell.strip().strip("\ufeff")
    found = _WITH_UNIT.fullmatch(text)
    if not found or not found["name"]:
        return text, ""
    return found["name"], (found["inside"] or found["after"] or "").strip()
