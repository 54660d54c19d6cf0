"""unreachable-rule: a rule that can never hold.

It wants what cannot be together: a feature both fitted and not, a phase in which its finding is not asked, a value
that nothing gives.

Bad:
    rules:
      - rule: sounding-without-valve
        lacks: [sentinel-valve]
        symptom: {sentinel: sounding}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: sounding-with-valve
        needs: [sentinel-valve]
        symptom: {sentinel: sounding}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Change the phases, features or conditions that exclude each other, or delete the rule.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.knowledge.model import MachineHolds
from diagnose.planning.mentions import certain
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Rule
    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check", "why_never"]

CODE, LEVEL = "unreachable-rule", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each rule that cannot hold, with the reason."""
    for rule in base.knowledge.rules.values():
        reason = why_never(rule, base)
        if reason:
            says = f"The rule '{rule.id}' can never hold: {reason}."
            yield Problem(rule.place, CODE, says, "Change what excludes itself, or delete the rule.")


def why_never(rule: Rule, base: RuleBase) -> str:
    """Return why a rule can never hold; empty when it can."""
    return next(_reasons(rule, base), "")


def _reasons(rule: Rule, base: RuleBase) -> Iterator[str]:
    for feature in sorted(rule.needs & rule.lacks):
        yield f"it needs '{feature}' and lacks it"
    phases, needs = set(rule.phases), set(rule.needs)
    wanted: dict[str, set[str]] = {}
    of_this_machine = [one for one in rule.when if not isinstance(one, MachineHolds)]
    pairs = [(mention.attribute, mention.values) for mention in certain(of_this_machine)]
    for attribute, values in [*pairs, *([(rule.symptom[0], (rule.symptom[1],))] if rule.symptom else [])]:
        if attribute == "phase":
            phases &= set(values)
        elif attribute == "feature":
            needs |= set(values) if len(values) == 1 else set()
        elif (
            attribute in base.knowledge.findings
            and values
            and not wanted.setdefault(attribute, set(values)) & {*values}
        ):
            yield f"it wants two values of '{attribute}' at once"
        finding = base.knowledge.findings.get(attribute)
        if finding is None or base.judging.get(attribute):
            continue
        if not finding.concluded:
            phases &= finding.phases
            needs |= finding.needs
    if not phases:
        yield "its phases and those of what it waits for have none in common"
    for feature in sorted(needs & rule.lacks - rule.needs):
        yield f"what it waits for needs '{feature}', which the rule lacks"
