"""What the jobs of ``diagnose calculate`` share: numbers from options, results shown, a consultation from them."""

from __future__ import annotations

import sys
from math import isfinite, nan
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, NamedTuple

from diagnose.commands import wiring
from diagnose.commands.facts_in import add_switches, consult_with
from diagnose.consultation.worked_out.result import limit_words, value_words
from diagnose.knowledge.model import PHASES
from diagnose.values import quantity
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Iterable, Mapping

    from diagnose.consultation.worked_out.result import Result, Worked
    from diagnose.knowledge.model import Knowledge, Machine

__all__ = [
    "Wanted",
    "add_readings",
    "add_shared",
    "amount",
    "finished",
    "lines_of",
    "needs",
    "numbers_of",
    "read_one",
]

_WIDTH = 100  # columns


class Wanted(NamedTuple):
    """A reading that a job takes: its option's name, the canonical unit, what it is, and what it may be."""

    name: str
    unit: str
    says: str
    low: float
    high: float


def add_shared(parser: ArgumentParser) -> None:
    """Declare what every job takes."""
    parser.add_argument("--machine", metavar="NAME", help="the machine: its rated values, limits, normals and class")
    parser.add_argument("--json", action="store_true", help="print the results as JSON")
    parser.add_argument(
        "--consult", action="store_true", help="open a consultation about the machine with these facts already in"
    )
    parser.add_argument("--phase", default="loaded", metavar="PHASE", help="with --consult: what it is doing (loaded)")
    add_switches(parser)


def add_readings(parser: ArgumentParser, wanted: Iterable[Wanted]) -> None:
    """Declare an option for each reading."""
    for one in wanted:
        parser.add_argument(f"--{one.name}", metavar=one.unit.split()[0].upper(), help=one.says.replace("%", "%%"))


def read_one(text: str, wanted: Wanted, knowledge: Knowledge) -> float:
    """Return a number as typed in the canonical unit; without a unit it is in the one that the site prefers."""
    preferred = quantity.preferred(wanted.unit, knowledge.site.units) or wanted.unit
    bare = text.strip().replace(",", ".").lstrip("+-").replace(".", "", 1).isdigit()
    try:
        read = quantity.read(f"{text} {preferred}" if bare else text, wanted.unit, plausible=(wanted.low, wanted.high))
    except quantity.QuantityError as error:
        raise DiagnoseError(error.says, where=f"--{wanted.name}", mend=error.mend) from error
    return read.value


def numbers_of(arguments: Namespace, wanted: Iterable[Wanted], knowledge: Knowledge) -> dict[str, float]:
    """Return what was given of the readings, in canonical units by name."""
    texts = {one: getattr(arguments, one.name.replace("-", "_")) for one in wanted}
    return {one.name: read_one(text, one, knowledge) for one, text in texts.items() if text is not None}


def amount(text: str) -> float:
    """Read a plain number for an option; raises ArgumentTypeError for what is none."""
    from argparse import ArgumentTypeError

    try:
        value = float(text)
    except ValueError:
        value = nan
    if not isfinite(value):
        raise ArgumentTypeError(f"'{one_line(text)}' is not a number")
    return value


def needs(enough: object, needed: str, example: str) -> None:
    """Raise DiagnoseError when there is not enough to work with."""
    if not enough:
        raise DiagnoseError(needed, mend=f"Write for example: diagnose calculate {example}")


def lines_of(path: str) -> list[str]:
    """Return the lines of a file; raises DiagnoseError when it cannot be read."""
    try:
        with Path(path).open(newline="", encoding="utf-8-sig", errors="replace") as file:
            return list(file)
    except (OSError, ValueError) as error:  # a name with a nought byte in it is no name
        why = getattr(error, "strerror", None) or "this cannot be the name of a file"
        raise DiagnoseError(f"The file cannot be read: {why}.", where=one_line(path)) from error


def finished(arguments: Namespace, worked: Worked, knowledge: Knowledge, machine: Machine | None) -> int:
    """Show the results, or open the consultation; exit status 1 when a result is bad news."""
    if arguments.consult:
        return _consult(arguments, worked, knowledge, machine)
    if arguments.json:
        import json

        wiring.say(json.dumps(_record(worked, knowledge), ensure_ascii=False, indent=2))
    else:
        _show(arguments, worked, knowledge)
    return int(any(one.warns for one in worked.results))


def _show(arguments: Namespace, worked: Worked, knowledge: Knowledge) -> None:
    for one in worked.results:
        mark = "!" if one.warns else " "
        judged = f": {one.judged}" if one.judged else ""
        wiring.say(f"{mark} {one.name}: {value_words(one, knowledge)}{judged}")
        limits = limit_words(one, knowledge)
        grounds = f"{f'{limits}. ' if limits else ''}Formula: {one.formula}. Source: {one.source}."
        wiring.say(fill(grounds, _WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6))
    for complaint in worked.complaints:
        wiring.say(complaint)
    if any(one.warns for one in worked.results):
        wiring.say("! is bad news.")
    if worked.facts and _known(worked, knowledge) and arguments.machine:
        wiring.say("Open a consultation with these facts in: the same with --consult")
    wiring.say("Advice only: local procedures and your supervisor come first; the site's limits before a standard's.")


def _record(worked: Worked, knowledge: Knowledge) -> dict[str, object]:
    return {
        "results": [_as_record(one, knowledge) for one in worked.results],
        "facts": _known(worked, knowledge),
        "complaints": list(worked.complaints),
    }


def _as_record(one: Result, knowledge: Knowledge) -> dict[str, object]:
    limits = [{"is": mark.words, "value": mark.number} for mark in one.limits]
    return {**one._asdict(), "limits": limits, "shown": value_words(one, knowledge)}


def _known(worked: Worked, knowledge: Knowledge) -> dict[str, str]:
    """Return the facts that the rules have a finding for."""
    return {name: text for name, text in worked.facts.items() if name in knowledge.findings}


def _consult(arguments: Namespace, worked: Worked, knowledge: Knowledge, machine: Machine | None) -> int:
    if machine is None:
        raise DiagnoseError("A consultation about which machine?", mend="Say it with --machine NAME.")
    if arguments.phase not in PHASES:
        raise DiagnoseError(f"There is no phase '{arguments.phase}'.", mend=did_you_mean(arguments.phase, PHASES))
    facts = _known(worked, knowledge)
    if not facts:
        raise DiagnoseError("Nothing of this is a finding of the rules.", mend="Leave out --consult.")
    if not arguments.json:
        _show_facts(facts)
    return consult_with(arguments, machine.id, arguments.phase, [f"{name}={text}" for name, text in facts.items()])


def _show_facts(facts: Mapping[str, str]) -> None:
    wiring.say("Worked out, and taken as answered:")
    for name, text in facts.items():
        wiring.say(f"  {name}: {text}")
    sys.stdout.flush()
