"""subsumed-rule: a rule whose every effect a wider rule already has.

Whenever it holds, the wider one holds too and does at least the same.

Bad:
    rules:
      - rule: level-low
        symptom: {oil-level: low}
        caution: water-in-oil
        source: common practice
      - rule: level-low-knocking
        symptom: {oil-level: low}
        when: [{noise: knocking}]
        caution: water-in-oil
        source: common practice
Good:
    rules:
      - rule: level-low
        symptom: {oil-level: low}
        caution: water-in-oil
        source: common practice
      - rule: level-low-knocking
        symptom: {oil-level: low}
        when: [{noise: knocking}]
        caution: casing-pressure
        source: common practice
Mend: Delete the narrower rule, or give it what it is to do beyond the wider one.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from diagnose.planning.pairs import conditional, effects
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Rule
    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "subsumed-rule", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem at each narrower rule whose effects are all among those of a wider one."""
    by_effect: defaultdict[str, list[Rule]] = defaultdict(list)
    for rule in base.knowledge.rules.values():
        for effect in effects(rule):
            by_effect[effect].append(rule)
    for rule in base.knowledge.rules.values():
        done = effects(rule)
        if rule.links or not done:
            continue
        for other in min((by_effect[effect] for effect in done), key=len):
            if other is not rule and done <= effects(other) and _narrower(rule, other):
                says = f"Whenever the rule '{rule.id}' holds, '{other.id}' does the same already."
                yield Problem(rule.place, CODE, says, "Delete it, or say what it does beyond the wider rule.")
                break


def _narrower(rule: Rule, other: Rule) -> bool:
    mine, its = conditional(rule), conditional(other)
    return mine != its and mine.as_narrow_as(its)
