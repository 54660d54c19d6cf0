"""draft-rule: a rule that has not been reviewed yet.

It works, and its cautions say that it is a draft. This note keeps it from being forgotten.

Bad:
    rules:
      - rule: level-after-topping
        status: draft
        author: planner of the boiler house
        date: 2024-05-02
        symptom: {oil-level: low}
        actions: [{who: operator, do: Write down how much was topped up.}]
        source: common practice
Good:
    rules:
      - rule: level-after-topping
        status: reviewed
        author: planner of the boiler house
        reviewer: rotating equipment engineer
        date: 2024-05-02
        symptom: {oil-level: low}
        actions: [{who: operator, do: Write down how much was topped up.}]
        source: common practice
Mend: Have it reviewed; then write 'status: reviewed' and 'reviewer'.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "draft-rule", "note"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a note for each draft."""
    for rule in base.knowledge.rules.values():
        if rule.draft:
            says = f"The rule '{rule.id}' is a draft."
            yield Problem(rule.place, CODE, says, "Have it reviewed, then write 'status: reviewed' and 'reviewer'.")
