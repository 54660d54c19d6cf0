"""The active symptom rules made into a belief network."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, MutableMapping
from math import prod
from typing import TYPE_CHECKING

from diagnose import belief
from diagnose.reasoning.compile import fits

if TYPE_CHECKING:
    from diagnose.knowledge.model import Cause, Knowledge, Machine, Rule

__all__ = ["Tables", "active_causes", "network"]

Tables = MutableMapping[tuple[str, ...], belief.Table]  # (finding, its rules in force) -> table, already made

# A complaint is why there is a consultation at all: somebody noticed it, looked again and found it worth reporting.
# That he saw wrong, or that it has nothing to do with what is wrong, is far less likely than with an answer to whatever
# he is asked. Without this, a hundred causes that do not show the complaint would share a large part of the belief.
COMPLAINT = (
    0.02  # share of a finding's error rate and of its "otherwise" that is left for a complaint (common practice)
)
UNLISTED = 0.02  # how often something not listed shows a complaint that no active cause shows (judgement)
_NEVER_LISTED = "almost never"  # the leak of an abnormal value that no rule in force ties to causes


def active_causes(knowledge: Knowledge, machine: Machine, phase: str) -> dict[str, Cause]:
    """Return the causes that this machine, in this phase, can have."""
    return {
        cause.id: cause
        for cause in knowledge.causes.values()
        if phase in cause.phases and fits(cause.needs, cause.lacks, machine.features)
    }


def network(
    knowledge: Knowledge, causes: Iterable[Cause], rules: Iterable[Rule], complaints: Collection[str], made: Tables
) -> belief.Network:
    """Return the two-layer network of the rules in force over the active causes.

    Where two rules in force speak of the same finding and value, the later and so more particular one decides
    for the causes both name, and for the leak. ``complaints`` are findings said to be abnormal unasked. ``made``
    keeps tables, whose constants are costly, from one network to the next over the same causes.
    """
    scales, active = knowledge.scales, {cause.id: cause for cause in causes}
    weights = {name: scales.how_common[cause.how_common] * _alone(cause, active) for name, cause in active.items()}
    odds = belief.scaled_odds(weights, scales.two_at_once)
    by_finding: dict[str, list[Rule]] = {}
    for rule in rules:
        if rule.symptom:
            by_finding.setdefault(rule.symptom[0], []).append(rule)
    for name in complaints:
        by_finding.setdefault(name, [])  # no rule in force speaks of it: something not listed does
    findings: dict[str, belief.Table] = {}
    for name, its_rules in by_finding.items():
        key = (name, "complaint" * (name in complaints), *(rule.id for rule in its_rules))
        if key not in made:
            made[key] = _table(knowledge, name, its_rules, odds, complaint=name in complaints)
        if made[key].links or name in complaints:
            findings[name] = made[key]
    return belief.Network(odds, findings, scales.not_listed, _lifts(active.values(), odds))


def _alone(cause: Cause, causes: Collection[str]) -> float:
    """Return the share of a cause's cases in which it has led to no other: how common it is counts them all."""
    return prod(1.0 - link.probability for link in cause.leads_to if link.cause in causes)


def _lifts(causes: Iterable[Cause], odds: Mapping[str, float]) -> dict[frozenset[str], float]:
    """Return how many times likelier two causes are together where one leads to the other.

    With P the share of its cases in which cause i has led to j: weight of {i, j} / weight of {i} = P / (1 - P).
    """
    lifts: dict[frozenset[str], float] = {}
    for cause in causes:
        for link in cause.leads_to:
            if link.cause in odds:
                pair = frozenset((cause.id, link.cause))
                lift = link.probability / (1.0 - link.probability) / odds[link.cause]
                lifts[pair] = max(lift, lifts.get(pair, 1.0))
    return lifts


def _table(
    knowledge: Knowledge, name: str, rules: list[Rule], odds: dict[str, float], *, complaint: bool
) -> belief.Table:
    finding = knowledge.findings[name]
    doubt = COMPLAINT if complaint else 1.0
    values = (finding.normal, *(value for value, normal in finding.values.items() if not normal))
    leak = dict.fromkeys(values[1:], doubt * knowledge.scales.frequency[_NEVER_LISTED])
    links: dict[tuple[str, str], float] = {}
    for rule in sorted(rules, key=_particular):
        value = rule.symptom[1] if rule.symptom else ""
        leak[value] = doubt * rule.otherwise
        links.update({(link.cause, value): link.probability for link in rule.links if link.cause in odds})
    unlisted = UNLISTED if complaint and not links else 0.0
    return belief.Table(values, leak, links, doubt * finding.misread, unlisted)


def _particular(rule: Rule) -> tuple[int, int, int]:
    """Sort key: the rule with more gates later, then file order."""
    return (len(rule.when) + len(rule.needs) + len(rule.lacks), -len(rule.phases), rule.order)
