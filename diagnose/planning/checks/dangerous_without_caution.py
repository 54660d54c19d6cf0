"""dangerous-without-caution: a dangerous cause whose signs raise no caution.

Whoever sees a sign of it must be told at once, before any ranking.

Bad:
    causes:
      wheel-loose:
        title: Wheel loose on the shaft
        how-common: rare
        severity: dangerous
        if-left: The wheel bursts.
        put-right: [{who: maintenance, do: Overhaul it.}]
        source: common practice
    rules:
      - rule: knocks-by-wheel
        symptom: {noise: knocking}
        causes: {wheel-loose: almost always}
        source: common practice
Good:
    causes:
      wheel-loose:
        title: Wheel loose on the shaft
        how-common: rare
        severity: dangerous
        if-left: The wheel bursts.
        put-right: [{who: maintenance, do: Overhaul it.}]
        source: common practice
    rules:
      - rule: knocks-by-wheel
        symptom: {noise: knocking}
        causes: {wheel-loose: almost always}
        caution: casing-pressure
        source: common practice
Mend: Add 'caution' to the rule of its plainest sign, or write a rule that raises one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "dangerous-without-caution", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each dangerous cause none of whose signs is one on which some rule raises a caution."""
    warned = set(_warned(base))
    for cause in base.knowledge.causes.values():
        signs = base.signs.get(cause.id, ())
        if cause.severity == "dangerous" and signs and not any(sign.rule.symptom in warned for sign in signs):
            says = f"The dangerous cause '{cause.id}' shows itself and no caution is raised."
            yield Problem(cause.place, CODE, says, "Add 'caution' to the rule of its plainest sign.")


def _warned(base: RuleBase) -> Iterator[tuple[str, str]]:
    for rule in base.knowledge.rules.values():
        if rule.cautions and rule.symptom:
            yield rule.symptom
        if rule.cautions:
            for mention in base.mentioned[rule.id]:
                yield from ((mention.attribute, value) for value in mention.values if not mention.denied)
