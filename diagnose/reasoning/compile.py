"""Model rules made into engine rules, for one machine or a few.

Entities are machine ids; attributes are findings and conditions (text), readings (float), ``phase``, shared headers,
and three of our own: ``caution`` (an id), ``applies`` (a rule whose symptom or conditions hold, so that its actions
count) and ``in-force`` (a symptom rule whose gate is open, so that its links count).

Features and limits belong to the machine and do not change during a consultation, so they are settled here; what is
left for the engine is ground, but for joins over machines.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose import engine
from diagnose.knowledge import model
from diagnose.knowledge.model import PHASES, Condition, Machine, Rule

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

__all__ = ["APPLIES", "CAUTION", "IN_FORCE", "always_in_force", "engine_rules", "fits", "limit_value"]

CAUTION, APPLIES, IN_FORCE, PHASE = "caution", "applies", "in-force", "phase"
_RANK = {rank: len(model.RANKS) - at for at, rank in enumerate(model.RANKS)}


class _Never(Exception):  # noqa: N818 - a signal, not an error
    """The condition can never hold on this machine."""


def fits(needs: Iterable[str], lacks: Iterable[str], features: frozenset[str]) -> bool:
    """Tell whether a machine with these features has all that is needed and none of what must be lacking."""
    return features.issuperset(needs) and features.isdisjoint(lacks)


def limit_value(limit: model.Limit, machine: Machine) -> float | None:
    """Return the number to compare with, in canonical units, or None when this machine does not state it."""
    quantity = limit.quantity or machine.values.get(limit.machine)
    return None if quantity is None else quantity.value * limit.factor + limit.offset


def engine_rules(
    rules: Iterable[Rule], cautions: dict[str, model.Caution], machines: Iterable[Machine]
) -> list[engine.Rule]:
    """Compile the rules for these machines; rules that cannot hold on a machine are left out for it."""
    machines = tuple(machines)
    return [made for rule in rules for made in _compiled(rule, cautions, machines)]


def always_in_force(rule: Rule, machine: Machine) -> bool:
    """Tell whether the links of a symptom rule count on this machine in every phase and situation."""
    return not rule.when and rule.phases.issuperset(PHASES) and fits(rule.needs, rule.lacks, machine.features)


def _compiled(rule: Rule, cautions: dict[str, model.Caution], machines: tuple[Machine, ...]) -> Iterator[engine.Rule]:
    joins = [condition for condition in rule.when if isinstance(condition, model.MachineHolds)]
    for machine in machines[:1] if joins else machines:
        if not fits(rule.needs, rule.lacks, machine.features):
            continue
        try:
            gate = tuple(_gate(rule, machine))
        except _Never:
            continue
        rank = max((_RANK[cautions[name].rank] for name in rule.cautions if name in cautions), default=0)
        always = (engine.Match(machine.id, PHASE, _one_of(PHASES)),)  # what is left of a gate that features settle
        if rule.links and not always_in_force(rule, machine):
            head = (engine.Fact(machine.id, IN_FORCE, rule.id),)
            yield engine.Rule(f"{rule.id}/in-force/{machine.id}", gate or always, head, rank=0, order=rule.order)
        heads = tuple(_heads(rule, machine, joins))
        if heads:
            when = gate + _symptom(rule, machine)
            yield engine.Rule(f"{rule.id}/{machine.id}", when or always, heads, rank=rank, order=rule.order)


def _gate(rule: Rule, machine: Machine) -> Iterator[engine.Condition]:
    if not rule.phases.issuperset(PHASES):
        yield engine.Match(machine.id, PHASE, _one_of(tuple(p for p in PHASES if p in rule.phases)))
    for condition in rule.when:
        yield from _condition(condition, machine)


def _symptom(rule: Rule, machine: Machine) -> tuple[engine.Condition, ...]:
    return (engine.Match(machine.id, *rule.symptom),) if rule.symptom else ()


def _heads(rule: Rule, machine: Machine, joins: list[model.MachineHolds]) -> Iterator[engine.Fact]:
    concerned: list[str | engine.Var] = [engine.Var(join.machine.removeprefix("$")) for join in joins] or [machine.id]
    for entity in concerned:
        for condition, value in rule.conclude.items():
            yield engine.Fact(entity, condition, value)
    for entity in concerned:
        for name in rule.cautions:
            yield engine.Fact(entity, CAUTION, name)
    if rule.actions:
        yield engine.Fact(concerned[0], APPLIES, rule.id)


def _one_of(values: tuple[str, ...]) -> str | engine.Test:
    return values[0] if len(values) == 1 else engine.Test("one-of", values)


def _condition(condition: Condition, machine: Machine) -> Iterator[engine.Condition]:
    """Yield engine conditions for one of ours; nothing when it always holds; raises _Never when it cannot."""
    match condition:
        case model.Compare():
            yield _compare(condition, machine)
        case model.Holds(attribute="feature"):
            if machine.features.isdisjoint(condition.values):
                raise _Never
        case model.Holds():
            yield engine.Match(machine.id, condition.attribute, _one_of(condition.values))
        case model.Unknown():
            yield engine.Unknown(machine.id, condition.attribute)
        case model.Not():
            yield from _negated(condition, machine)
        case model.AllOf():
            for inner in condition.conditions:
                yield from _condition(inner, machine)
        case model.AnyOf():
            yield from _any_of(condition, machine)
        case model.CountOf():
            yield from _count(condition, machine)
        case model.MachineHolds():
            yield from _machine_holds(condition)


def _compare(condition: model.Compare, machine: Machine) -> engine.Condition:
    limit = limit_value(condition.limit, machine)
    if limit is None:
        raise _Never
    return engine.Match(machine.id, condition.reading, engine.Test(condition.how, limit))


def _negated(condition: model.Not, machine: Machine) -> Iterator[engine.Condition]:
    try:
        inner = tuple(_condition(condition.condition, machine))
    except _Never:
        return
    if not inner:
        raise _Never
    yield engine.Not(*inner)


def _alternatives(conditions: Iterable[Condition], machine: Machine) -> Iterator[tuple[engine.Condition, ...]]:
    for condition in conditions:
        try:
            yield tuple(_condition(condition, machine))
        except _Never:
            continue


def _any_of(condition: model.AnyOf, machine: Machine) -> Iterator[engine.Condition]:
    alternatives = list(_alternatives(condition.conditions, machine))
    if not alternatives:
        raise _Never
    if all(alternatives):
        yield engine.AnyOf(*(_together(parts) for parts in alternatives))


def _count(condition: model.CountOf, machine: Machine) -> Iterator[engine.Condition]:
    alternatives = list(_alternatives(condition.conditions, machine))
    open_ones = tuple(_together(parts) for parts in alternatives if parts)
    at_least = condition.at_least - (len(alternatives) - len(open_ones))
    if at_least > len(open_ones):
        raise _Never
    if at_least > 0:
        yield engine.Count(open_ones, at_least)


def _together(parts: tuple[engine.Condition, ...]) -> engine.Condition:
    return parts[0] if len(parts) == 1 else engine.AllOf(*parts)


def _machine_holds(condition: model.MachineHolds) -> Iterator[engine.Condition]:
    entity = engine.Var(condition.machine.removeprefix("$"))
    for attribute, value in condition.values.items():
        yield engine.Match(entity, attribute, engine.Var(value[1:]) if value.startswith("$") else value)
    for other in condition.other_than:
        yield engine.Guard(entity, "differs", engine.Var(other.removeprefix("$")))
