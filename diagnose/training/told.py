"""What a case says when a finding is looked at, as reasoning takes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.events import Answer
from diagnose.consultation.understand import understand

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from diagnose.knowledge.model import Case, Finding, Knowledge

__all__ = ["answers_of", "node_of", "read_answer", "reported"]


def answers_of(case: Case, name: str, knowledge: Knowledge, known: Collection[str]) -> dict[str, Answer]:
    """Return finding -> answer: all that the case says of it and of the same condition, else its answer to the rest.

    What is in ``known`` is not told again.
    """
    findings = knowledge.findings
    told = {**case.answers, **case.reported}
    related = [one for one in _same_condition(findings[name], knowledge) if one in told and one not in known]
    if related:
        return {one: read_answer(one, told[one], knowledge) for one in related}
    if case.unlisted == "unknown":
        return {name: Answer(cannot_tell=True)}
    normal = findings[node_of(findings[name])].normal
    return {name: Answer(value=normal, typed=normal)}


def reported(case: Case, knowledge: Knowledge) -> Iterator[tuple[str, Answer]]:
    """Yield (finding, answer) for what the case begins with."""
    for name, text in case.reported.items():
        yield name, read_answer(name, text, knowledge)


def read_answer(name: str, text: str, knowledge: Knowledge) -> Answer:
    """Read an answer as an operator would type it."""
    finding = knowledge.findings[name]
    worded = node_of(finding)
    return understand(text, finding, knowledge.findings[worded] if worded != name else None)[0]


def node_of(finding: Finding) -> str:
    """Return what the belief knows the finding as: the condition that a reading is judged as, or the finding."""
    return finding.judged_as if finding.reading and finding.judged_as else finding.id


def _same_condition(finding: Finding, knowledge: Knowledge) -> tuple[str, ...]:
    condition = finding.id if finding.concluded else finding.judged_as
    if not condition:
        return (finding.id,)
    return (finding.id, condition, *(one for one in knowledge.findings[condition].judged_from if one != finding.id))
