"""From readings over days: how fast a reading moves, and how long until its limit, both with an interval."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.calculations.trends import time_to, trend
from diagnose.consultation.saying import number_words, titled
from diagnose.consultation.worked_out.result import Mark, Result, Worked
from diagnose.values.problem import DiagnoseError
from diagnose.values.quantity import difference_unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from diagnose.calculations.trends import Trend, Until
    from diagnose.knowledge.model import Finding, Knowledge

__all__ = ["trend_results"]

_SEN = "Theil 1950; Sen, JASA 63 (1968), 1379"


def trend_results(
    finding: Finding,
    days: Sequence[float],
    values: Sequence[float],
    limits: tuple[float | None, float | None],
    knowledge: Knowledge,
) -> Worked:
    """Draw the line through readings at ``days`` and say when it meets the lower or upper of ``limits``.

    Raises DiagnoseError with fewer than four readings at different times.
    """
    reading = finding.reading
    if reading is None:
        raise DiagnoseError(
            f"'{finding.id}' is not a number.", mend="Name a reading, such as bearing-temperature-drive-end."
        )
    line = trend([day - days[-1] for day in days], values)
    if line is None:
        raise DiagnoseError(
            "Four readings or more at different times are wanted.", mend="Add readings, or wait for them."
        )
    unit = difference_unit(reading.unit)
    a_day = [number_words(one, unit, knowledge) for one in (line.slope, line.low, line.high)]
    moves = "moves" if line.moves else "may well stand still"
    name = titled(finding)
    results = [
        Result(
            f"{name} a day",
            f"{a_day[0]} (95 %: {a_day[1]} to {a_day[2]})",
            "",
            "median slope of all pairs",
            _SEN,
            (),
            moves,
        ),
        Result(
            f"{name} on the line now", line.level, reading.unit, "median line at the last reading", _SEN, _marks(limits)
        ),
    ]
    upward = line.slope > 0
    limit = limits[1] if upward else limits[0]
    if limit is not None:
        results.append(_until(limit, line, upward=upward))
    way = "rising" if upward else "falling"
    name = f"{finding.id}-trend"
    known = knowledge.findings.get(name)
    facts = {name: way if line.moves else "steady"} if known and way in known.values else {}
    return Worked(tuple(results), facts)


def _marks(limits: tuple[float | None, float | None]) -> tuple[Mark, ...]:
    ends = zip(("lower limit", "upper limit"), limits, strict=True)
    return tuple(Mark(words, number) for words, number in ends if number is not None)


def _until(limit: float, line: Trend, *, upward: bool) -> Result:
    until = time_to(limit, line, upper=upward)
    value, judged = _days(until)
    met = until.expected == 0
    return Result(
        "time to the limit",
        value,
        "",
        "(limit - level) / slope",
        f"{_SEN}; the interval is the slope's",
        (),
        judged,
        met,
    )


def _days(until: Until) -> tuple[str, str]:
    if until.expected == 0:
        return "it is there", "at its limit now"
    latest = "never" if until.latest is None else f"{until.latest:.3g} days"
    return f"{until.expected or 0:.3g} days", f"soonest {until.soonest or 0:.3g} days, latest {latest}"
