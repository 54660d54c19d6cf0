"""caution-never: a caution that no rule can raise.

Either it is left over, or the rule that should raise it is missing, a mistake in a name, or can never hold.

Bad:
    cautions:
      oil-fire:
        rank: stop-now
        say: Oil burns.
        do: Trip by hand and get away.
        source: common practice
Good:
    cautions:
      oil-fire:
        rank: stop-now
        say: Oil burns.
        do: Trip by hand and get away.
        source: common practice
    rules:
      - rule: oil-smokes
        symptom: {oil-level: low}
        caution: oil-fire
        source: common practice
Mend: Name the caution in the rule that should raise it, or delete it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.planning.checks.unreachable_rule import why_never
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "caution-never", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each caution without a rule that can raise it."""
    of_checks = {name for one in base.knowledge.checks.values() for name in one.cautions}
    for caution in base.knowledge.cautions.values():
        rules = base.raised.get(caution.id, ())
        if caution.id not in of_checks and all(why_never(rule, base) for rule in rules):
            says = f"{'The rules that raise' if rules else 'No rule raises'} '{caution.id}'"
            says += " can never hold." if rules else "."
            yield Problem(caution.place, CODE, says, "Name it in the rule that should raise it, or delete it.")
