"""unnecessary-condition: a condition that always holds, or that two rules cancel between them.

It wants any of all the values a finding has, or all phases; or two rules differ only in wanting a thing and not
wanting it.

Bad:
    rules:
      - rule: knocks-at-any-level
        symptom: {noise: knocking}
        when: [{oil-level: [at-mark, low]}]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: knocks-at-low-level
        symptom: {noise: knocking}
        when: [{oil-level: low}]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Delete the condition; where two rules cancel it, join them into one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.knowledge.model import PHASES, Holds, Not
from diagnose.planning.pairs import effects
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Condition, Rule
    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "unnecessary-condition", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each condition that rules nothing out, and for each pair of rules that cancel one."""
    seen: dict[object, Rule] = {}
    for rule in base.knowledge.rules.values():
        for condition in rule.when:
            if isinstance(condition, Holds) and _all_values(condition, base):
                says = f"The rule '{rule.id}' wants any value that '{condition.attribute}' can have."
                yield Problem(rule.place, CODE, says, "Delete the condition.")
        if not rule.links and effects(rule):
            for key, opposite in _without_one(rule):
                if opposite in seen:
                    says = f"'{seen[opposite].id}' and '{rule.id}' differ only in a condition and its opposite."
                    yield Problem(rule.place, CODE, says, "Join them, without the condition.")
                seen[key] = rule


def _all_values(condition: Holds, base: RuleBase) -> bool:
    if condition.attribute == "phase":
        return set(condition.values) >= set(PHASES)
    finding = base.knowledge.findings.get(condition.attribute)
    return finding is not None and len(finding.values) > 1 and set(condition.values) >= set(finding.values)


def _without_one(rule: Rule) -> Iterator[tuple[object, object]]:
    """Give, for each condition, the rule but for it: with the condition, and with its opposite."""
    for condition in rule.when:
        rest = frozenset(repr(one) for one in rule.when if one is not condition)
        frame = (rule.symptom, rule.phases, rule.needs, rule.lacks, rest, effects(rule))
        yield (frame, repr(condition)), (frame, repr(_opposite(condition)))


def _opposite(condition: Condition) -> Condition:
    return condition.condition if isinstance(condition, Not) else Not(condition)
