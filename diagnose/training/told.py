"""What a case says when a finding is looked at, as reasoning takes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.events import Answer
from diagnose.consultation.understand import understand

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Case, Finding, Knowledge

__all__ = ["answer_of", "node_of", "read_answer", "reported"]


def answer_of(case: Case, name: str, knowledge: Knowledge) -> tuple[str, Answer]:
    """Return the finding answered and its answer: what the case says of it, or of the same condition, or the rest."""
    findings = knowledge.findings
    told = {**case.answers, **case.reported}
    for one in _same_condition(findings[name], knowledge):
        if one in told:
            return one, read_answer(one, told[one], knowledge)
    if case.unlisted == "unknown":
        return name, Answer(cannot_tell=True)
    normal = findings[node_of(findings[name])].normal
    return name, Answer(value=normal, typed=normal)


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
