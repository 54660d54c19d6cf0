"""``diagnose calculate speed``: regulation, variation, speed rise, class of the governor, hunting, trips."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.calculations.speed import CLASSES
from diagnose.commands.calculate_results import Wanted, add_readings, lines_of, needs, read_one
from diagnose.consultation.round_reading import RoundsReader
from diagnose.consultation.worked_out.result import Worked, usual
from diagnose.consultation.worked_out.speed import SPEEDS, log_results, speed_results
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["WANTED", "add_arguments", "work"]

_SPEEDS = tuple(Wanted(name, "rpm", f"speed {says}", 0, 20_000) for name, says in SPEEDS.items())
WANTED = (*_SPEEDS, Wanted("load", "%", "load in % of rated, for the speed to expect there (with --no-load)", 0, 150))
_RATED = Wanted("rated", "rpm", "rated speed (default: the machine's)", 1, 20_000)


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_readings(parser, (_RATED,))
    parser.add_argument(
        "--class", dest="letter", choices=tuple(CLASSES), help="governor class (default: the machine's)"
    )
    parser.add_argument("--trips", metavar="RPM,RPM,RPM", help="speeds at which successive overspeed tests tripped")
    parser.add_argument(
        "--log", metavar="CSV", help="speed, and load in %% of rated if logged, every few seconds; header as for rounds"
    )


def work(
    arguments: Namespace, numbers: dict[str, float], knowledge: Knowledge, machine: Machine | None
) -> tuple[Worked, Machine | None]:
    """Work it out; it is bad news when the class is not held, the speed hunts or a test trip is off."""
    rated = read_one(arguments.rated, _RATED, knowledge) if arguments.rated else None
    trips = [read_one(text, _SPEEDS[-1], knowledge) for text in (arguments.trips or "").split(",") if text.strip()]
    needs(numbers or arguments.log or trips, "No speed is given.", "speed --machine BFP-2 --highest 3580 --lowest 3540")
    worked = Worked((), {})
    if numbers or trips:
        worked = speed_results(numbers, machine, rated=rated, letter=arguments.letter or "", trips=trips)
    if arguments.log:
        machine, log = _log(arguments, knowledge, machine, rated)
        worked = Worked((*worked.results, *log.results), {**log.facts, **worked.facts}, log.complaints)
    return worked, machine


def _log(
    arguments: Namespace, knowledge: Knowledge, machine: Machine | None, rated: float | None
) -> tuple[Machine, Worked]:
    """Read the log of one machine, the one named or the only one in it, and grade it."""
    reader = RoundsReader(knowledge, _only(arguments.log, knowledge, machine))
    try:
        reader.read(lines_of(arguments.log))
    except DiagnoseError as error:
        raise DiagnoseError(error.says, where=error.where or arguments.log, mend=error.mend) from error
    logs = [log for log in reader.logs.values() if log.rows and (machine is None or log.machine == machine.id)]
    if len(logs) != 1:
        listed = ", ".join(log.machine for log in logs) or "none"
        raise DiagnoseError(f"The log is of several machines: {listed}.", where=arguments.log, mend="Say --machine.")
    log = logs[0]
    arguments.machine = log.machine
    if not log.is_fast or not log.fast:
        mend = "Log it every ten seconds or quicker."
        raise DiagnoseError("The log is too slow, or holds no speed.", where=arguments.log, mend=mend)
    known = knowledge.site.machines[log.machine]
    rated = rated or usual(known, "rated-speed")
    if not rated:
        raise DiagnoseError("The rated speed is not known.", mend="Say it with --rated.")
    loads = [load for _, load in log.fast] if log.measured("load") is not None else []
    speeds = [speed for speed, _ in log.fast]
    worked = log_results(speeds, loads, log.clock.step * 60, known, rated, arguments.letter or "")
    return known, Worked(
        worked.results, worked.facts, tuple(f"line {one.line}: {one.says}" for one in reader.complaints.all())
    )


def _only(path: str, knowledge: Knowledge, machine: Machine | None) -> str:
    """Return the machine to read the file as when its header names none."""
    header = next((line for line in lines_of(path) if line.strip()), "").lower()
    named = any(one.lower() in header for one in knowledge.site.machines)
    return machine.id if machine and not named else ""
