"""feature-never: something needs a feature that no machine of the site has.

It will never be used at this plant. That is well for shipped rules; in a site's own it is mostly a wrong name.

Bad:
    features:
      gear-box: {title: Gear box}
    rules:
      - rule: gear-knocks
        needs: [gear-box]
        symptom: {noise: knocking}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: valve-knocks
        needs: [sentinel-valve]
        symptom: {noise: knocking}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Correct the feature, or add it to the profile of the machine that has it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "feature-never", "note"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a note for each of the site's own rules that needs what no machine has."""
    machines = base.knowledge.site.machines.values()
    if base.shipped is None or not machines:
        return
    fitted = frozenset[str]().union(*(machine.features for machine in machines))
    for rule in base.knowledge.rules.values():
        if base.shipped.rules.get(rule.id) != rule:
            for feature in sorted(rule.needs - fitted):
                says = f"No machine of the site has '{feature}', which the rule '{rule.id}' needs."
                yield Problem(rule.place, CODE, says, "Correct it, or add it to the machine that has it.")
