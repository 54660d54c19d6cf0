"""The active symptom rules made into a belief network."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose import belief
from diagnose.knowledge.model import Cause, Finding, Knowledge, Machine, Rule
from diagnose.reasoning.compile import fits

__all__ = ["active_causes", "network"]

_NEVER_LISTED = "almost never"  # the leak of an abnormal value that no rule in force ties to causes


def active_causes(knowledge: Knowledge, machine: Machine, phase: str) -> dict[str, Cause]:
    """Return the causes that this machine, in this phase, can have."""
    return {
        cause.id: cause
        for cause in knowledge.causes.values()
        if phase in cause.phases and fits(cause.needs, cause.lacks, machine.features)
    }


def network(knowledge: Knowledge, causes: Iterable[Cause], rules: Iterable[Rule]) -> belief.Network:
    """Return the two-layer network of the rules in force over the active causes.

    Where two rules in force speak of the same finding and value, the later and so more particular one decides
    for the causes both name, and for the leak.
    """
    scales = knowledge.scales
    odds = belief.scaled_odds({cause.id: scales.how_common[cause.how_common] for cause in causes}, scales.two_at_once)
    tables: dict[str, list[Rule]] = {}
    for rule in rules:
        if rule.symptom:
            tables.setdefault(rule.symptom[0], []).append(rule)
    findings = {
        name: table
        for name, its_rules in tables.items()
        if (table := _table(knowledge.findings[name], its_rules, odds, scales.frequency[_NEVER_LISTED])).links
    }
    return belief.Network(odds, findings, not_listed=scales.not_listed)


def _table(finding: Finding, rules: list[Rule], odds: dict[str, float], floor: float) -> belief.Table:
    values = (finding.normal, *(value for value, normal in finding.values.items() if not normal))
    leak = dict.fromkeys(values[1:], floor)
    links: dict[tuple[str, str], float] = {}
    for rule in sorted(rules, key=_particular):
        value = rule.symptom[1] if rule.symptom else ""
        leak[value] = rule.otherwise
        links.update({(link.cause, value): link.probability for link in rule.links if link.cause in odds})
    return belief.Table(values, leak, links, error=finding.misread)


def _particular(rule: Rule) -> tuple[int, int, int]:
    """Sort key: the rule with more gates later, then file order."""
    return (len(rule.when) + len(rule.needs) + len(rule.lacks), -len(rule.phases), rule.order)
