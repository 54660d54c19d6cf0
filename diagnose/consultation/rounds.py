"""A file of rounds screened: which machines need a consultation, why, and the facts to open it with."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from diagnose.calculations.hunting import Swing, swing_of
from diagnose.consultation.events import Answer
from diagnose.consultation.round_cells import CellError, number
from diagnose.consultation.round_clock import minutes, stamp
from diagnose.consultation.round_columns import BESIDE
from diagnose.consultation.round_judging import (
    DAY,
    Chart,
    Fit,
    change_in,
    common_persistence,
    fit_of,
    history_of,
    limits_of,
    stuck_in,
    with_time_to,
    without_gaps,
)
from diagnose.consultation.round_reading import RoundsReader
from diagnose.consultation.round_together import Facts, Together
from diagnose.consultation.round_words import change_words, stuck_words, swing_words
from diagnose.consultation.understand import understand
from diagnose.reasoning.instruments import accuracy
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from diagnose.consultation.round_log import Complaint, Log, Series
    from diagnose.knowledge.model import Finding, Knowledge, Machine, RoundsLayout

__all__ = ["MachineRounds", "Reason", "Rounds", "screen"]

_YEAR = 365.25 * DAY


class Reason(NamedTuple):
    """Why a machine is named. ``kind``: limit, word, drift, step, hunting, caution, shared, stuck; words for people.

    ``consult`` tells whether it calls for a consultation or only for a look at the instrument.
    """

    finding: str
    kind: str
    says: str
    consult: bool


class MachineRounds(NamedTuple):
    """What the rounds say of one machine.

    A consultation is opened with ``facts``, its latest answers by finding, and with ``beside``, those of machines that
    share something with it.
    """

    machine: str
    rows: int
    first: str
    last: str
    reasons: tuple[Reason, ...]
    charts: tuple[Chart, ...]
    facts: Mapping[str, Answer]
    beside: Mapping[str, Mapping[str, Answer]]
    swing: Swing | None

    @property
    def needs_consultation(self) -> bool:
        """Whether a consultation should be opened."""
        return any(reason.consult for reason in self.reasons)


class Rounds(NamedTuple):
    """What a file of rounds says: machines, those in need first, and complaints about the file by line.

    ``false_alarms`` is how many a machine-year the charts were set for.
    """

    rows: int
    machines: tuple[MachineRounds, ...]
    complaints: tuple[Complaint, ...]
    counts: Mapping[str, int]
    false_alarms: float


def screen(
    lines: Iterable[str],
    knowledge: Knowledge,
    *,
    only: str = "",
    false_alarms: float = 1.0,
    progress: Callable[[], None] = lambda: None,
) -> Rounds:
    """Read rounds (header first) and judge every machine in them.

    ``only`` names the machine of a file that names none; ``false_alarms`` is how many a machine-year are accepted
    over all its charts. Raises DiagnoseError when the file as a whole cannot be used.
    """
    reader = RoundsReader(knowledge, only, progress)
    reader.read(lines)
    found = [_judged(log, reader, knowledge, false_alarms) for log in reader.logs.values() if log.rows]
    together = Together(knowledge, {one.machine: _facts_of(one) for one in found})
    judged = [_with_rules(one, together, knowledge) for one in found]
    judged.sort(key=lambda one: (not one.needs_consultation, not one.reasons, one.machine))
    complaints = reader.complaints
    return Rounds(reader.rows, tuple(judged), complaints.all(), complaints.counts(), false_alarms)


def _judged(log: Log, reader: RoundsReader, knowledge: Knowledge, false_alarms: float) -> MachineRounds:
    """Judge each reading of one machine by its own history."""
    machine = knowledge.site.machines[log.machine]
    turn = 1 if log.clock.direction > 0 else -1  # newest first is turned round
    times = log.times[::turn]
    beside = [log.column(at)[::turn] for name in BESIDE if (at := log.measured(name)) is not None]
    numbered = [at for at, one in enumerate(log.series) if one.column.unit]
    run_length = max(100.0, len(numbered) * _YEAR / log.block / false_alarms)
    reasons: list[Reason] = []
    charts: list[Chart] = []
    fitted = {
        at: one
        for at in numbered
        if (one := _fitted(log.series[at], times, log.column(at)[::turn], beside, machine, knowledge))
    }
    common = common_persistence(one.fit for one in fitted.values())
    for at, one in fitted.items():
        chart = _chart(log.series[at], one, machine, knowledge, run_length, common)
        charts.append(chart)
        if chart.change is not None:
            reasons.append(Reason(chart.finding, chart.change.kind, change_words(chart, knowledge), consult=True))
    for at in numbered:
        if log.still.get(at):
            levels = log.series[at].canonical(log.column(at)[::turn])
            stuck = stuck_in(levels, log.stood_still(at)[::turn])
            if stuck is not None:
                finding = log.series[at].column.measured
                says = stuck_words(finding, stuck.value, log.series[at].column.unit, times[stuck.since], knowledge)
                reasons.append(Reason(finding, "stuck", says, consult=False))
    swing = _swing(log)
    facts = dict(_facts(log, reader, knowledge, charts, swing))
    if swing is not None and swing.kind in ("hunting", "swing", "load-swing"):
        reasons.append(Reason("speed-swing", "hunting", swing_words(swing), consult=swing.kind != "load-swing"))
    return MachineRounds(
        log.machine, log.rows, stamp(min(times)), stamp(max(times)), tuple(reasons), tuple(charts), facts, {}, swing
    )


class _Fitted(NamedTuple):
    """A reading's blocks without gaps, and the normal fitted to their history."""

    times: Sequence[float]
    values: Sequence[float]
    fit: Fit


def _fitted(
    series: Series,
    times: Sequence[float],
    column: Sequence[float],
    beside: Sequence[Sequence[float]],
    machine: Machine,
    knowledge: Knowledge,
) -> _Fitted | None:
    when, values, given = without_gaps(times, series.canonical(column), beside)
    history = history_of(when, _stretch(machine.rounds.baseline if machine.rounds else ()))
    if history is None:
        return None
    exact = accuracy(knowledge.findings[series.column.measured], machine)
    return _Fitted(when, values, fit_of(values, given, history, exact))


def _chart(
    series: Series, one: _Fitted, machine: Machine, knowledge: Knowledge, run_length: float, common: float
) -> Chart:
    finding = knowledge.findings[series.column.measured]
    normal, change = one.fit.normal, change_in(one.fit, one.times, run_length, common)
    if change is None:
        return Chart(finding.id, series.column.unit, (), (), normal, (None, None), None)
    limits = limits_of(finding, knowledge, machine, normal.centre)
    return Chart(finding.id, series.column.unit, one.times, one.values, normal, limits, with_time_to(change, limits))


def _stretch(days: tuple[str, ...]) -> tuple[float, float] | None:
    if not days:
        return None
    first, last = minutes(days[0]), minutes(days[1])
    return None if first is None or last is None else (first, last + DAY)


def _swing(log: Log) -> Swing | None:
    if not log.is_fast:
        return None
    load = [row[1] for row in log.fast] if log.measured("load") is not None else []
    return swing_of([row[0] for row in log.fast], log.clock.step * 60, load, accuracy=2.0)


def _facts(
    log: Log, reader: RoundsReader, knowledge: Knowledge, charts: Iterable[Chart], swing: Swing | None
) -> Iterator[tuple[str, Answer]]:
    """Yield the latest answer of each column, the way each chart moves, and the swing of the speed."""
    findings = knowledge.findings
    rounds = knowledge.site.machines[log.machine].rounds
    for series in log.series:
        finding = findings.get(series.column.measured)
        if finding is not None:
            read = (_answer(cell, at, series, finding, rounds) for cell, at in reader.cells_of(log, series))
            answer = next((one for one in read if one is not None), None)
            if answer is not None:
                yield finding.id, answer
    for chart in charts:
        if chart.change is not None:
            yield from _trend(chart.finding, "rising" if chart.change.upward else "falling", findings)
    if swing is not None and swing.kind in ("hunting", "swing"):
        if "speed-swing" in findings:
            yield "speed-swing", Answer(number=swing.width, typed=f"{swing.width:.0f} rpm (by the log)")
        if "speed-behaviour" in findings and "regular-swing" in findings["speed-behaviour"].values:
            yield "speed-behaviour", Answer(value="regular-swing", typed="regular swing (by the log)")


def _trend(reading: str, way: str, findings: Mapping[str, Finding]) -> Iterator[tuple[str, Answer]]:
    """Yield what the finding on a reading's trend is, where the rules have one."""
    name = f"{reading}-trend"
    if name in findings and way in findings[name].values:
        yield name, Answer(value=way, typed=f"{way} (by the rounds)")


def _answer(cell: str, at: int, series: Series, finding: Finding, rounds: RoundsLayout | None) -> Answer | None:
    """Make a cell an answer; None when nothing usable stands in it."""
    try:
        if series.words:
            return replace(understand(cell, finding)[0], typed=f"{cell.strip()} (line {at})") if cell.strip() else None
        value = number(cell, series.column, comma=rounds is not None and rounds.decimal == "comma")
    except (CellError, DiagnoseError):
        return None
    if value is None or not series.low_ok <= value <= series.high_ok:
        return None
    header = series.column.header
    return Answer(number=series.canonical([value])[0], typed=f"{cell.strip()} in '{header}' (line {at})")


def _facts_of(one: MachineRounds) -> Facts:
    return Facts(one.facts, one.needs_consultation)


def _with_rules(one: MachineRounds, together: Together, knowledge: Knowledge) -> MachineRounds:
    """Add what the rules make of the facts: findings that are not normal, cautions, and what machines share."""
    named = tuple(Reason(found.finding, found.kind, found.says, consult=True) for found in together.found(one.machine))
    beside = together.neighbours(one.machine) if named or one.reasons else {}
    facts = _without_drifting(one, {reason.finding for reason in named}, knowledge.findings)
    return one._replace(reasons=_in_order((*named, *one.reasons)), facts=facts, beside=beside)


def _without_drifting(one: MachineRounds, beyond: set[str], findings: Mapping[str, Finding]) -> dict[str, Answer]:
    """Leave out a number that has left its own normal but is inside its limits, and those judged as one with it.

    Calling it normal would speak against the very cause of the change; the finding on its trend stands in its place.
    """
    changed = {chart.finding for chart in one.charts if chart.change is not None} - beyond
    told = {name for name in changed if f"{name}-trend" in one.facts}
    judged = {findings[name].judged_as for name in told} - {None}
    return {
        name: answer for name, answer in one.facts.items() if not (name in told or findings[name].judged_as in judged)
    }


def _in_order(reasons: Iterable[Reason]) -> tuple[Reason, ...]:
    ranks = {"caution": 0, "limit": 1, "word": 2, "shared": 3, "hunting": 4, "drift": 5, "step": 6, "stuck": 7}
    return tuple(sorted(reasons, key=lambda reason: ranks[reason.kind]))
