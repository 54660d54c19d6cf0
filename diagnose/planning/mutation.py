"""Small wrongs done to the rules, one at a time, to see whether any case notices."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from diagnose.knowledge.model import PHASES, MachineHolds, Not

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from diagnose.knowledge.model import Condition, Knowledge, Rule

__all__ = ["Mutant", "mutants", "with_rule"]


class Mutant(NamedTuple):
    """One wrong: what was done to which rule; ``danger`` is 0 for cautions, 1 for dangerous causes, 2 for the rest."""

    kind: str
    rule: str
    says: str
    danger: int
    changed: Rule


def with_rule(knowledge: Knowledge, rule: Rule) -> Knowledge:
    """Return the knowledge with one rule in place of the one of the same id."""
    return knowledge._replace(rules=MappingProxyType({**knowledge.rules, rule.id: rule}))


def mutants(knowledge: Knowledge) -> Iterator[Mutant]:
    """Yield every mutant: conditions, links, gates, conclusions and cautions, rule by rule in file order."""
    words = sorted(knowledge.scales.frequency.items(), key=lambda pair: pair[1])
    for rule in knowledge.rules.values():
        yield from _cautions(rule)
        yield from _conditions(rule)
        yield from _gates(rule)
        yield from _conclusions(rule, knowledge)
        yield from _links(rule, knowledge, words)


def _danger(rule: Rule, knowledge: Knowledge | None = None, cause: str = "") -> int:
    if knowledge and cause:
        return 1 if knowledge.causes[cause].severity == "dangerous" else 2
    return 0 if rule.cautions else 2


def _cautions(rule: Rule) -> Iterator[Mutant]:
    for name in rule.cautions:
        left = tuple(one for one in rule.cautions if one != name)
        yield Mutant("caution dropped", rule.id, name, 0, rule._replace(cautions=left))


def _conditions(rule: Rule) -> Iterator[Mutant]:
    for at, condition in enumerate(rule.when):
        rest = (*rule.when[:at], *rule.when[at + 1 :])
        says = f"condition {at + 1} of {len(rule.when)}"
        if (rest or rule.symptom) and _well_formed(rest):
            yield Mutant("condition dropped", rule.id, says, _danger(rule), rule._replace(when=rest))
        if not isinstance(condition, MachineHolds):
            opposite = condition.condition if isinstance(condition, Not) else Not(condition)
            when = (*rule.when[:at], opposite, *rule.when[at + 1 :])
            yield Mutant("condition negated", rule.id, says, _danger(rule), rule._replace(when=when))


def _well_formed(conditions: Iterable[Condition]) -> bool:
    """Tell whether every machine that another must differ from is still there: the loader refuses the rest anyway."""
    joins = [one for one in conditions if isinstance(one, MachineHolds)]
    return {name for one in joins for name in one.other_than} <= {one.machine for one in joins}


def _gates(rule: Rule) -> Iterator[Mutant]:
    if not rule.phases.issuperset(PHASES):
        everywhere = rule._replace(phases=frozenset(PHASES))
        yield Mutant("gate dropped", rule.id, "phases", _danger(rule), everywhere)
    for feature in sorted(rule.needs):
        yield Mutant(
            "gate dropped", rule.id, f"needs {feature}", _danger(rule), rule._replace(needs=rule.needs - {feature})
        )
    for feature in sorted(rule.lacks):
        yield Mutant(
            "gate dropped", rule.id, f"lacks {feature}", _danger(rule), rule._replace(lacks=rule.lacks - {feature})
        )


def _conclusions(rule: Rule, knowledge: Knowledge) -> Iterator[Mutant]:
    for name, value in rule.conclude.items():
        other = next((one for one in knowledge.findings[name].values if one != value), "")
        if other:
            changed = rule._replace(conclude=MappingProxyType({**rule.conclude, name: other}))
            yield Mutant("conclusion changed", rule.id, f"{name} {other} for {value}", _danger(rule), changed)


def _links(rule: Rule, knowledge: Knowledge, words: list[tuple[str, float]]) -> Iterator[Mutant]:
    names = [word for word, _ in words]
    listed = {link.cause for link in rule.links}
    for at, link in enumerate(rule.links):
        danger = _danger(rule, knowledge, link.cause)
        rest = (*rule.links[:at], *rule.links[at + 1 :])
        yield Mutant("link removed", rule.id, link.cause, danger, rule._replace(links=rest))
        for kind, step in (("link up", 1), ("link down", -1)):
            to = names.index(link.word) + step
            if 0 <= to < len(words):
                moved = link._replace(word=words[to][0], probability=words[to][1])
                links = (*rule.links[:at], moved, *rule.links[at + 1 :])
                yield Mutant(kind, rule.id, f"{link.cause} {words[to][0]}", danger, rule._replace(links=links))
        neighbour = _neighbour(link.cause, listed, knowledge)
        if neighbour:
            links = (*rule.links[:at], link._replace(cause=neighbour), *rule.links[at + 1 :])
            says = f"{link.cause} given to {neighbour}"
            yield Mutant("link to a neighbour", rule.id, says, danger, rule._replace(links=links))


def _neighbour(cause: str, listed: Iterable[str], knowledge: Knowledge) -> str:
    """Return the next cause of the same subsystem that this symptom does not name."""
    own = knowledge.causes[cause].subsystem
    same = [name for name, one in knowledge.causes.items() if one.subsystem == own]
    after = same[same.index(cause) + 1 :] + same[: same.index(cause)]
    return next((name for name in after if name not in listed), "")
