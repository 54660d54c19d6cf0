"""Situations in which one rule is looked at by itself: where it holds, and just short of holding.

For every rule: all its conditions hold (on as many machines and in as many phases as its causes need), each condition
alone is missing, each alternative alone holds, it is another phase, a feature is missing or fitted; and where it ties a
symptom to causes, that symptom is not seen.
"""

from __future__ import annotations

from itertools import permutations
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from diagnose.knowledge.model import PHASES, AllOf, AnyOf, Compare, CountOf, MachineHolds, Not
from diagnose.planning.satisfying import answers
from diagnose.reasoning.compile import fits

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from diagnose.knowledge.model import Condition, Knowledge, Machine, Rule
    from diagnose.planning.satisfying import Given

__all__ = ["HOLDS", "NOT_SEEN", "Probe", "machine_called", "probes"]

HOLDS = "holds"
NOT_SEEN = "symptom not seen"  # the conditions hold and the finding is normal: what a link says against its cause
_PHASES = ("loaded", *(one for one in PHASES if one != "loaded"))  # the commonest first
_TRIES = 8  # ways to say it that are tried on one machine in one phase


class Probe(NamedTuple):
    """One machine in one phase with what is said of it, to look at one rule; ``why`` tells what of it.

    ``machine`` may say ``BFP-2 without sentinel-valve``; ``others`` is what is known of other machines.
    """

    rule: str
    why: str
    machine: str
    phase: str
    said: tuple[tuple[str, str | float], ...]
    others: tuple[tuple[str, str, str | float], ...] = ()


def machine_called(name: str, knowledge: Knowledge) -> Machine | None:
    """Return a machine of the site, with or without a feature or limit where the name says so; None: there is none."""
    own, _, change = name.partition(" ")
    machine = knowledge.site.machines.get(own)
    how, _, feature = change.partition(" ")
    if machine is None or not change:
        return machine
    features = machine.features | {feature} if how == "with" else machine.features - {feature}
    values = {name: value for name, value in machine.values.items() if name != feature or how == "with"}
    return machine._replace(features=features, values=MappingProxyType(values))


def probes(rule: Rule, knowledge: Knowledge) -> Iterator[Probe]:
    """Give all that might serve, the best of each kind first; who looks at them keeps one of a kind, or more."""
    machines = _fitting(rule, knowledge)
    if any(isinstance(one, MachineHolds) for one in rule.when):
        yield from _joins(rule, knowledge)
        return
    inside = [one for one in _PHASES if one in rule.phases]
    outside = [one for one in _PHASES if one not in rule.phases]
    for machine in machines:
        for why, wanted in _wanted(rule):
            for phase in inside:
                yield from _probes(rule, why, machine, phase, wanted, knowledge)
        for phase in outside:
            yield from _probes(rule, "in another phase", machine, phase, _all(rule), knowledge)
    for how, feature in [
        *(("without", one) for one in sorted(rule.needs)),
        *(("with", one) for one in sorted(rule.lacks)),
    ]:
        for machine in (one for one in machines if " " not in one):
            for phase in inside:
                yield from _probes(rule, f"{how} {feature}", f"{machine} {how} {feature}", phase, _all(rule), knowledge)


def _fitting(rule: Rule, knowledge: Knowledge) -> list[str]:
    """Name the site's machines that the rule is about; where there is none, those with one feature changed."""
    machines = knowledge.site.machines.values()
    own = [one.id for one in machines if fits(rule.needs, rule.lacks, one.features)]
    changed = []
    for one in machines:
        lacking, undue = sorted(rule.needs - one.features), sorted(rule.lacks & one.features)
        if len(lacking) + len(undue) == 1:
            changed.append(f"{one.id} with {lacking[0]}" if lacking else f"{one.id} without {undue[0]}")
    without_limit = [f"{name} without {limit}" for name in own[:1] for limit in _machine_limits(rule.when)]
    return [*(own or changed), *without_limit]


def _machine_limits(conditions: Sequence[Condition]) -> list[str]:
    """Name what the conditions compare with that a machine may or may not state."""
    found: dict[str, None] = {}
    for one in conditions:
        match one:
            case Compare(limit=limit) if limit.machine:
                found[limit.machine] = None
            case Not(condition=inner):
                found |= dict.fromkeys(_machine_limits([inner]))
            case AllOf(conditions=inner) | AnyOf(conditions=inner) | CountOf(conditions=inner):
                found |= dict.fromkeys(_machine_limits(inner))
    return list(found)


def _all(rule: Rule) -> list[tuple[Condition, bool]]:
    return [(one, True) for one in rule.when]


def _wanted(rule: Rule) -> Iterator[tuple[str, list[tuple[Condition, bool]]]]:
    yield HOLDS, _all(rule)
    for at, condition in enumerate(rule.when):
        others = [(one, True) for one in (*rule.when[:at], *rule.when[at + 1 :])]
        yield f"without condition {at + 1}", [*others, (condition, False)]
        if isinstance(condition, AnyOf):
            for number, chosen in enumerate(condition.conditions):
                rest = [(one, False) for one in (*condition.conditions[:number], *condition.conditions[number + 1 :])]
                yield f"by condition {at + 1}, alternative {number + 1}", [*others, (chosen, True), *rest]


def _probes(
    rule: Rule,
    why: str,
    machine: str,
    phase: str,
    wanted: Sequence[tuple[Condition, bool]],
    knowledge: Knowledge,
) -> Iterator[Probe]:
    known = machine_called(machine, knowledge)
    if known is None:
        return
    start: Given = {"phase": phase, **({rule.symptom[0]: rule.symptom[1]} if rule.symptom else {})}
    for tries, way in enumerate(answers(wanted, known, knowledge.findings, start)):
        if tries == _TRIES:
            return
        said = tuple((name, value) for name, value in way.items() if name != "phase" and value is not None)
        yield Probe(rule.id, why, machine, phase, said)


def _joins(rule: Rule, knowledge: Knowledge) -> Iterator[Probe]:
    """Give probes of a rule over several machines: all of them said, or one of them not."""
    joins = [one for one in rule.when if isinstance(one, MachineHolds)]
    rest = [(one, True) for one in rule.when if not isinstance(one, MachineHolds)]
    machines = knowledge.site.machines
    for names in permutations(machines, len(joins)):
        if not _share(joins, [machines[name] for name in names]):
            continue
        for phase in (one for one in _PHASES if one in rule.phases):
            for left_out in (None, *range(len(joins))):
                why = HOLDS if left_out is None else f"without condition {rule.when.index(joins[left_out]) + 1}"
                told = [
                    (name, attribute, value)
                    for at, (name, join) in enumerate(zip(names, joins, strict=True))
                    for attribute, value in join.values.items()
                    if not value.startswith("$") and at != left_out
                ]
                own = tuple((attribute, value) for name, attribute, value in told if name == names[0])
                for way in answers(rest, machines[names[0]], knowledge.findings, dict(own)):
                    said = tuple((name, value) for name, value in way.items() if value is not None)
                    others = tuple(row for row in told if row[0] != names[0])
                    yield Probe(rule.id, why, names[0], phase, said, others)
                    break


def _share(joins: Sequence[MachineHolds], machines: Sequence[Machine]) -> bool:
    """Tell whether the machines share what the joins name by one variable."""
    bound: dict[str, str] = {}
    for join, machine in zip(joins, machines, strict=True):
        for attribute, value in join.values.items():
            if value.startswith("$") and bound.setdefault(
                value, machine.shares.get(attribute, "")
            ) != machine.shares.get(attribute, ""):
                return False
    return all(bound.values())
