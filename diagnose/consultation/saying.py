"""Answers, limits and findings put into words with the units this site prefers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.wording import plain
from diagnose.values import quantity

if TYPE_CHECKING:
    from diagnose.consultation.events import Answer
    from diagnose.knowledge.model import Finding, Knowledge, Machine

__all__ = ["answer_words", "number_words", "preferred_unit", "titled", "usual_words"]


def number_words(number: float, unit: str, knowledge: Knowledge) -> str:
    """Return a number in canonical units as text in the unit the site prefers."""
    return quantity.shown(quantity.Quantity(number, unit), quantity.preferred(unit, knowledge.site.units))


def preferred_unit(finding: Finding, knowledge: Knowledge) -> str:
    """Return the unit in which this site reads a finding; "" when it is the canonical one or there is no reading."""
    if finding.reading is None:
        return ""
    preferred = quantity.preferred(finding.reading.unit, knowledge.site.units)
    return preferred if preferred and preferred != finding.reading.unit else ""


def answer_words(finding: Finding, answer: Answer, knowledge: Knowledge) -> str:
    """Return an answer as text."""
    if answer.cannot_tell:
        return "can't tell"
    if answer.number is not None and finding.reading:
        said = number_words(answer.number, finding.reading.unit, knowledge)
    else:
        said = {"true": "yes", "false": "no"}.get(answer.value, plain(answer.value))
    return said if answer.sure else f"{said} (not sure)"


def usual_words(finding: Finding, machine: Machine, knowledge: Knowledge) -> str:
    """Return this machine's own normal for a finding; "" when it is not known."""
    normal = machine.values.get(f"normal-{finding.id}")
    if normal and finding.reading:
        return number_words(normal.value, normal.unit, knowledge)
    return machine.normal_words.get(finding.id, "")


def titled(finding: Finding) -> str:
    """Return a finding as a short heading: its id in words."""
    return plain(finding.id).capitalize()
