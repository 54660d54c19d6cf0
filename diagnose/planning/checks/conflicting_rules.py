"""conflicting-rules: two rules hold together and conclude different values of one condition.

The condition would have two values at once, and the screen would call the answers contradictory.

Bad:
    rules:
      - rule: pressure-too-high
        when: [{reading: exhaust-pressure, above: 6 bar gauge}]
        conclude: {exhaust-level: normal}
        source: common practice
Good:
    rules:
      - rule: pressure-too-high
        when: [{reading: exhaust-pressure, above: 6 bar gauge}]
        conclude: {exhaust-level: high}
        source: common practice
Mend: Change one of the values, or give the rules conditions that never hold together.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from diagnose.knowledge.model import Compare
from diagnose.planning.pairs import conditional
from diagnose.planning.ranges import apart, implies
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Rule
    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "conflicting-rules", "error"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem at the later of two rules, one as narrow as the other, that conclude different values."""
    by_condition: defaultdict[str, list[Rule]] = defaultdict(list)
    for rule in base.knowledge.rules.values():
        for condition in rule.conclude:
            by_condition[condition].append(rule)
    for condition, rules in by_condition.items():
        for at, later in enumerate(rules):
            for earlier in rules[:at]:
                if earlier.conclude[condition] != later.conclude[condition] and _hold_together(earlier, later):
                    says = f"'{later.id}' and '{earlier.id}' hold together and conclude different '{condition}'."
                    yield Problem(later.place, CODE, says, "Change one of the values or conditions.")


def _hold_together(first: Rule, second: Rule) -> bool:
    """Tell whether one of the two always holds with the other; that they only may is no fault."""
    if apart(first.when, second.when):
        return False
    return _implies(first, second) or _implies(second, first)


def _implies(narrow: Rule, wide: Rule) -> bool:
    mine, its = conditional(narrow), conditional(wide)
    if mine.as_narrow_as(its):
        return True
    if not (mine.phases <= its.phases and narrow.needs >= wide.needs and narrow.lacks >= wide.lacks):
        return False
    limits = [one for one in narrow.when if isinstance(one, Compare)]
    return not wide.symptom and all(
        one in narrow.when or (isinstance(one, Compare) and any(implies(limit, one) for limit in limits))
        for one in wide.when
    )
