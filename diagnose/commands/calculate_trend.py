"""``diagnose calculate trend READING``: how fast it moves and how long until its limit, from points or from rounds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.commands import wiring
from diagnose.commands.calculate_results import Wanted, amount, lines_of, read_one
from diagnose.consultation.round_clock import minutes
from diagnose.consultation.round_judging import DAY, limits_of, without_gaps
from diagnose.consultation.round_reading import RoundsReader
from diagnose.consultation.worked_out.trend import trend_results
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from diagnose.consultation.worked_out.result import Worked
    from diagnose.knowledge.model import Finding, Knowledge, Machine

__all__ = ["WANTED", "add_arguments", "work"]

WANTED: tuple[Wanted, ...] = ()  # the reading is named


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("reading", metavar="READING", help="such as bearing-temperature-drive-end")
    parser.add_argument(
        "--point", action="append", default=[], metavar="DAY=VALUE", help="'2026-03-01 08:00=71 C'; four or more"
    )
    parser.add_argument("--rounds", metavar="CSV", help="rounds or a log that hold the reading, instead of points")
    parser.add_argument("--days", type=amount, default=30.0, metavar="N", help="with --rounds: the last N days (30)")
    parser.add_argument(
        "--limit", metavar="VALUE", help="limit that must not be met (default: the machine's and rules')"
    )


def work(
    arguments: Namespace, _numbers: dict[str, float], knowledge: Knowledge, machine: Machine | None
) -> tuple[Worked, Machine | None]:
    """Work it out; it is bad news when the limit is met already."""
    finding = _reading(arguments.reading, knowledge)
    points = _from_rounds(arguments, finding, knowledge) if arguments.rounds else _points(arguments, finding, knowledge)
    points.sort()
    if not points:
        raise DiagnoseError(
            "No reading is given.", mend="Add --point '2026-03-01 08:00=71 C', four or more, or --rounds CSV."
        )
    if arguments.machine and machine is None:
        machine = wiring.machine_named(arguments.machine, knowledge)
    limits = limits_of(finding, knowledge, machine, points[0][1]) if machine else (None, None)
    if arguments.limit:
        limit = read_one(arguments.limit, _wanted(finding, "limit"), knowledge)
        limits = (None, limit) if limit >= points[-1][1] else (limit, None)
    days, values = zip(*points, strict=True)
    return trend_results(finding, days, values, limits, knowledge), machine


def _reading(name: str, knowledge: Knowledge) -> Finding:
    readings = {one.id: one for one in knowledge.findings.values() if one.reading}
    if name not in readings:
        raise DiagnoseError(f"There is no reading '{name}'.", mend=did_you_mean(name, readings))
    return readings[name]


def _wanted(finding: Finding, option: str) -> Wanted:
    assert finding.reading is not None  # noqa: S101  only readings come here
    return Wanted(option, finding.reading.unit, "", *finding.reading.plausible)


def _points(arguments: Namespace, finding: Finding, knowledge: Knowledge) -> list[tuple[float, float]]:
    points = []
    for text in arguments.point:
        day, equals, value = text.partition("=")
        at = minutes(day) if equals else None
        if at is None:
            raise DiagnoseError(
                f"'{text}' is not DAY=VALUE.", mend="Write for example --point '2026-03-01 08:00=71 C'."
            )
        points.append((at / DAY, read_one(value, _wanted(finding, "point"), knowledge)))
    return points


def _from_rounds(arguments: Namespace, finding: Finding, knowledge: Knowledge) -> list[tuple[float, float]]:
    """Return the level of each day (or hour of a log) of one machine."""
    only = wiring.machine_named(arguments.machine, knowledge).id if arguments.machine else ""
    reader = RoundsReader(knowledge)
    try:
        reader.read(lines_of(arguments.rounds))
    except DiagnoseError as error:
        raise DiagnoseError(error.says, where=error.where or arguments.rounds, mend=error.mend) from error
    logs = [log for log in reader.logs.values() if log.rows and only in ("", log.machine)]
    if len(logs) != 1:
        listed = ", ".join(log.machine for log in logs) or "none that is meant"
        raise DiagnoseError(f"The file holds {listed}.", where=arguments.rounds, mend="Say which with --machine.")
    log = logs[0]
    arguments.machine = log.machine
    at = log.measured(finding.id)
    if at is None:
        raise DiagnoseError(f"The file holds no {finding.id}.", where=arguments.rounds)
    times, values, _ = without_gaps(log.times, log.series[at].canonical(log.column(at)), [])
    newest = max(times, default=0.0)
    return [
        (time / DAY, value) for time, value in zip(times, values, strict=True) if time > newest - arguments.days * DAY
    ]
