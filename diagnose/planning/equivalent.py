"""Mutants that change nothing for anybody, whatever is said: they are shown to be so, and not tried."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.knowledge.model import Holds

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Knowledge, Rule
    from diagnose.planning.mutation import Mutant

__all__ = ["why_equivalent"]


def why_equivalent(mutant: Mutant, knowledge: Knowledge) -> str:
    """Return why nobody can see this mutant; "" when somebody may."""
    rule = knowledge.rules[mutant.rule]
    if mutant.kind.startswith("link"):
        return _about_links(rule, mutant.changed, knowledge)
    if mutant.kind == "caution dropped":
        return next(
            (f"rule '{one}' raises it too, whenever this one does" for one in _covering(rule, mutant, knowledge)), ""
        )
    return ""


def _about_links(rule: Rule, changed: Rule, knowledge: Knowledge) -> str:
    """Tell when no touched link can count: its cause is never on the rule's machines in its phases."""
    touched = {(one.cause, one.probability) for one in rule.links} ^ {
        (one.cause, one.probability) for one in changed.links
    }
    names = sorted({cause for cause, _ in touched})
    return "" if any(_together(rule, name, knowledge) for name in names) else f"{' and '.join(names)} cannot be there"


def _together(rule: Rule, cause: str, knowledge: Knowledge) -> bool:
    one = knowledge.causes[cause]
    return bool(one.phases & rule.phases) and not (one.needs & rule.lacks) and not (one.lacks & rule.needs)


def _covering(rule: Rule, mutant: Mutant, knowledge: Knowledge) -> Iterator[str]:
    """Give the other rules that raise the dropped caution whenever this one does, by itself or by what it concludes."""
    (dropped,) = set(rule.cautions) - set(mutant.changed.cautions)
    held = [(one.attribute, one.values[0]) for one in rule.when if isinstance(one, Holds) and len(one.values) == 1]
    shown = [None, rule.symptom, *held, *rule.conclude.items()]
    told = [*rule.when, *(Holds(name, (value,)) for name, value in rule.conclude.items())]
    for other in knowledge.rules.values():
        if (
            other.id != rule.id
            and dropped in other.cautions
            and all(one in told for one in other.when)
            and other.symptom in shown
            and other.phases >= rule.phases
            and other.needs <= rule.needs
            and other.lacks <= rule.lacks
        ):
            yield other.id
