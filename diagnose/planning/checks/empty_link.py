"""empty-link: a cause that shows the symptom no more often than a sound machine does.

A link no stronger than 'otherwise' says nothing.

Bad:
    rules:
      - rule: knocking-somehow
        symptom: {noise: knocking}
        causes: {gland-steam: rarely}
        otherwise: sometimes
        source: common practice
Good:
    rules:
      - rule: knocking-somehow
        symptom: {noise: knocking}
        causes: {gland-steam: sometimes}
        otherwise: rarely
        source: common practice
Mend: Give the cause a stronger word, or delete it from this symptom.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "empty-link", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each link weaker than its rule's leak."""
    for rule in base.knowledge.rules.values():
        for link in rule.links:
            if link.probability < rule.otherwise:
                says = f"'{link.cause}' shows this {link.word}, a sound machine {rule.otherwise_word}."
                yield Problem(link.place, CODE, says, "Give it a stronger word, or delete it here.")
