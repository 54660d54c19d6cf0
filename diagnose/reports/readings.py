"""Readings between their limits: what the rules compare them with on this machine, and its own normal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.saying import number_words, titled
from diagnose.consultation.wording import plain
from diagnose.knowledge import model
from diagnose.reasoning.compile import fits, limit_value
from diagnose.reports.charts import Level, gauge
from diagnose.reports.document import Figure, Table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.consultation.events import Answer
    from diagnose.consultation.view import AnsweredRow
    from diagnose.knowledge.model import Condition, Finding, Knowledge, Machine
    from diagnose.reports.document import Block

__all__ = ["readings"]

_MOST_LIMITS = 4  # drawn; the nearest to what was read
_SIDES = {"above": "not above", "below": "not below", "at-least": "below", "at-most": "above"}


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
                Figure(gauge(name, f"{titled(finding)} and its limits", [reading, *levels], finding.reading.accuracy))
            )
    if rows:
        yield Table("Readings taken", ("Reading", "Read", "Usual here", "Limits", "Judged as"), tuple(rows))
        yield from figures


def _number(number: float, finding: Finding, knowledge: Knowledge) -> str:
    return number_words(number, finding.reading.unit, knowledge) if finding.reading else str(number)


def _limits(finding: Finding, number: float, knowledge: Knowledge, machine: Machine) -> list[Level]:
    """Return the limits that rules for this machine compare the reading with, the nearest, from low to high."""
    found: dict[str, Level] = {}
    for rule in knowledge.rules.values():
        if fits(rule.needs, rule.lacks, machine.features):
            for compared in _compared(rule.when, finding.id):
                value = limit_value(compared.limit, machine)
                if value is not None:
                    shown = _number(value, finding, knowledge)
                    named = plain(compared.limit.machine) if compared.limit.machine else ""
                    exact = (compared.limit.factor, compared.limit.offset) == (1.0, 0.0)
                    label = f"{named} {shown}" if named and exact else f"{_SIDES[compared.how]} {shown}"
                    found.setdefault(shown, Level(value, label, "limit"))
    nearest = sorted(found.values(), key=lambda level: abs(level.value - number))[:_MOST_LIMITS]
    usual = machine.values.get(f"normal-{finding.id}")
    return sorted((one for one in nearest if usual is None or one.value != usual.value), key=lambda level: level.value)


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
