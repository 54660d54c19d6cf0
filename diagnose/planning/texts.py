"""Every sentence that the rules put before people, with its place and to whom it speaks."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Knowledge
    from diagnose.values.problem import Place

__all__ = ["Written", "clauses", "denied", "texts_of"]

_DENIAL = re.compile(
    r"\b(not|never|no|nothing|nobody|none|without|don't|avoid|instead of|is for|are for|whether|if|who|forbid\w*)\b",
    re.IGNORECASE,
)
_SENTENCE = re.compile(r"[.;:?!]")
_CLAUSE = re.compile(r"[.;:?!,]| then | and | or ")


class Written(NamedTuple):
    """A sentence or more: ``what`` it is part of, who is told."""

    text: str
    what: str
    who: str
    place: Place


def texts_of(knowledge: Knowledge) -> Iterator[Written]:
    """Give what is said by questions, cautions, rules and causes."""
    for finding in knowledge.findings.values():
        yield Written(finding.ask, f"question of {finding.id}", finding.who, finding.place)
        yield Written(finding.how, f"'how' of {finding.id}", finding.who, finding.place)
    for caution in knowledge.cautions.values():
        yield Written(caution.say, f"'say' of {caution.id}", "operator", caution.place)
        yield Written(caution.do, f"'do' of {caution.id}", "operator", caution.place)
    for rule in knowledge.rules.values():
        for action in rule.actions:
            yield Written(action.do, f"action of {rule.id}", action.who, action.place)
    for cause in knowledge.causes.values():
        yield Written(cause.if_left, f"'if-left' of {cause.id}", "", cause.place)
        yield Written(cause.settled_by, f"'settled-by' of {cause.id}", "maintenance", cause.place)
        for action in cause.put_right:
            yield Written(action.do, f"'put-right' of {cause.id}", action.who, action.place)


def denied(text: str, at: int) -> bool:
    """Tell whether the sentence has said "not", "never", "whether" or the like before this character."""
    start = max((match.end() for match in _SENTENCE.finditer(text, 0, at)), default=0)
    return _DENIAL.search(text, start, at) is not None


def clauses(text: str) -> Iterator[tuple[int, str]]:
    """Give the pieces of a text where an order may begin, each with its first character's place."""
    start = 0
    for match in _CLAUSE.finditer(text):
        yield start, text[start : match.start()]
        start = match.end()
    yield start, text[start:]
