"""Readings between their limits: what the rules compare them with on this machine, and its own normal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.saying import number_words, titled
from diagnose.consultation.wording import plain
from diagnose.consultation.worked_out.answers import results_of_answers
from diagnose.consultation.worked_out.result import limit_words, value_words
from diagnose.knowledge import model
from diagnose.reasoning.compile import fits, limit_value
from diagnose.reasoning.instruments import accuracy
from diagnose.reports.charts import Level, gauge
from diagnose.reports.document import Figure, Table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.consultation.events import Answer
    from diagnose.consultation.view import AnsweredRow
    from diagnose.consultation.worked_out.result import Result
    from diagnose.knowledge.model import Condition, Finding, Knowledge, Machine
    from diagnose.reports.document import Block

__all__ = ["readings"]

_MOST_STEPS = 2  # at which the rules change their mind without a stated limit: the nearest to what was read
_NEAR = 0.25  # of the plausible range: a step further off is a guard against nonsense, not a limit
_SIDES = {"above": "above", "below": "below", "at-least": "from", "at-most": "up to"}


def readings(
    said: Mapping[str, Answer], answered: Iterable[AnsweredRow], knowledge: Knowledge, machine: Machine
) -> Iterator[Block]:
    """Yield a table of all numbers read on this machine, then a gauge for each that has a limit or a usual value."""
    judged = {row.finding: row.judged for row in answered if not row.machine}
    taken = [
        (knowledge.findings[name], answer.number)
        for name, answer in said.items()
        if answer.number is not None and knowledge.findings[name].reading
    ]
    rows, figures = [], []
    for finding, number in taken:
        limits = _limits(finding, number, knowledge, machine)
        usual = machine.values.get(f"normal-{finding.id}")
        rows.append(
            (
                titled(finding),
                _number(number, finding, knowledge),
                _number(usual.value, finding, knowledge) if usual else "not known",
                "; ".join(level.label for level in limits) or "none stated",
                judged.get(finding.id) or "not judged",
            )
        )
        levels = [*limits, *([Level(usual.value, f"usual {rows[-1][2]}", "usual")] if usual else [])]
        if levels and finding.reading:
            reading = Level(number, f"read {rows[-1][1]}", "reading")
            name = f"gauge-{finding.id}"
            figures.append(
                Figure(gauge(name, f"{titled(finding)} and its limits", [reading, *levels], accuracy(finding, machine)))
            )
    if rows:
        yield Table("Readings taken", ("Reading", "Read", "Usual here", "Limits", "Judged as"), tuple(rows))
        yield from figures
        worked = [_worked_out(one, knowledge) for one in results_of_answers(said, machine)]
        if worked:
            columns = ("What", "Comes to", "Judged as, held against", "Formula and source")
            yield Table("Worked out from the readings", columns, tuple(worked))


def _worked_out(one: Result, knowledge: Knowledge) -> tuple[str, ...]:
    judged = "; ".join(part for part in (one.judged, limit_words(one, knowledge)) if part) or "not judged"
    return one.name.capitalize(), value_words(one, knowledge), judged, f"{one.formula}. {one.source}."


def _number(number: float, finding: Finding, knowledge: Knowledge) -> str:
    return number_words(number, finding.reading.unit, knowledge) if finding.reading else str(number)


def _limits(finding: Finding, number: float, knowledge: Knowledge, machine: Machine) -> list[Level]:
    """Return the stated limits that rules for this machine compare the reading with, and the nearest other steps."""
    found: dict[str, Level] = {}
    for rule in knowledge.rules.values():
        if fits(rule.needs, rule.lacks, machine.features):
            for compared in _compared(rule.when, finding.id):
                level = _level(compared, finding, knowledge, machine)
                if level and (level.role == "limit" or f"{level.value:.9g}" not in found):
                    found[f"{level.value:.9g}"] = level
    usual = machine.values.get(f"normal-{finding.id}")
    kept = [level for level in found.values() if usual is None or level.value != usual.value]
    low, high = finding.reading.plausible if finding.reading else (number, number)
    near = [one for one in kept if one.role == "step" and abs(one.value - number) <= _NEAR * (high - low)]
    steps = sorted(near, key=lambda level: abs(level.value - number))
    limits = [one for one in kept if one.role == "limit"]
    return sorted([*limits, *steps[:_MOST_STEPS]], key=lambda level: level.value)


def _level(compared: model.Compare, finding: Finding, knowledge: Knowledge, machine: Machine) -> Level | None:
    """Return what a comparison compares with: a limit stated for the machine, or a step of the rules."""
    limit, value = compared.limit, limit_value(compared.limit, machine)
    if value is None:
        return None
    shown = _number(value, finding, knowledge)
    if limit.machine and not limit.machine.startswith("normal-") and (limit.factor, limit.offset) == (1.0, 0.0):
        return Level(value, f"{plain(limit.machine)} {shown}", "limit")
    return Level(value, f"{_SIDES[compared.how]} {shown}", "step")


def _compared(conditions: Iterable[Condition], reading: str) -> Iterator[model.Compare]:
    for condition in conditions:
        match condition:
            case model.Compare():
                if condition.reading == reading:
                    yield condition
            case model.AnyOf() | model.AllOf() | model.CountOf():
                yield from _compared(condition.conditions, reading)
            case model.Not():
                yield from _compared((condition.condition,), reading)
