"""``diagnose calculate oil``: viscosity when warm, grade, water, acid, particles; a laboratory's report."""

from __future__ import annotations

from argparse import ArgumentTypeError
from typing import TYPE_CHECKING

from diagnose.calculations.laboratory import read_report
from diagnose.calculations.oil import GRADES, cleanliness_code
from diagnose.commands.calculate_results import Wanted, add_readings, amount, lines_of, needs, read_one
from diagnose.consultation.worked_out.oil import oil_results, report_results
from diagnose.consultation.worked_out.result import Worked
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["WANTED", "add_arguments", "work"]

WANTED = (
    Wanted("viscosity", "mm2/s", "at 40 C", 2, 5000),
    Wanted("viscosity-100", "mm2/s", "at 100 C (default: by an index of 100)", 2, 500),
    Wanted("water", "ppm", "water in the oil", 0, 1_000_000),
    Wanted("acid-number", "mg KOH/g", "acid number", 0, 50),
    Wanted("acid-new", "mg KOH/g", "acid number of the new oil", 0, 50),
)
_AT = Wanted("at", "C", "temperature for which the viscosity is wanted", -20, 150)


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_readings(parser, (_AT,))
    parser.add_argument("--grade", type=int, metavar="VG", help="the ISO grade that belongs in, such as 46")
    parser.add_argument("--particles", metavar="CODE", default="", help="ISO 4406 code, such as 18/16/13")
    parser.add_argument("--counts", metavar="N/N/N", default="", help="particles a mL over 4, 6 and 14 um, instead")
    parser.add_argument("--report", metavar="CSV", help="a laboratory's report: property, value, unit, new")


def work(
    arguments: Namespace, numbers: dict[str, float], knowledge: Knowledge, machine: Machine | None
) -> tuple[Worked, Machine | None]:
    """Work it out; it is bad news when the oil must be acted on."""
    if arguments.grade is not None and arguments.grade not in GRADES:
        listed = ", ".join(map(str, GRADES[GRADES.index(22) : GRADES.index(220)]))
        raise DiagnoseError(f"There is no grade {arguments.grade}.", mend=f"The usual ones: {listed}.")
    if arguments.counts:
        arguments.particles = _code(arguments.counts)
    at = read_one(arguments.at, _AT, knowledge) if arguments.at else None
    needs(
        numbers or arguments.grade or arguments.particles or arguments.report,
        "Nothing of the oil is given.",
        "oil --grade 46 --at '71 C'",
    )
    worked = oil_results(numbers, grade=arguments.grade, at=at, particles=arguments.particles)
    if arguments.report:
        try:
            report = report_results(read_report(lines_of(arguments.report)))
        except DiagnoseError as error:
            raise DiagnoseError(error.says, where=error.where or arguments.report, mend=error.mend) from error
        facts = {**worked.facts, **report.facts}
        complaints = tuple(f"{arguments.report}: {one}" for one in report.complaints)
        worked = Worked((*worked.results, *report.results), facts, complaints)
    return worked, machine


def _code(counts: str) -> str:
    """Return the particle code of counts a mL, such as ``2400/600/75``."""
    try:
        codes = [cleanliness_code(amount(one)) for one in counts.split("/")]
    except ArgumentTypeError as error:
        raise DiagnoseError(f"{error}.", where="--counts", mend="Write 2400/600/75.") from error
    return "/".join(map(str, codes))
