"""Knowledge with what a planner asks of it: who uses a thing, who concludes it, what shows a cause."""

from __future__ import annotations

from collections import defaultdict
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from diagnose.planning.mentions import mentions

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.knowledge.model import Finding, Knowledge, Link, Rule
    from diagnose.planning.mentions import Mention

__all__ = ["RuleBase", "Sign", "Use"]


class Use(NamedTuple):
    """One use of a finding or condition by a rule, check or cause.

    ``how`` is symptom, when, asked, holds, requires or excludes.
    """

    how: str
    kind: str
    id: str
    values: tuple[str, ...]


class Sign(NamedTuple):
    """A value of a finding that a cause shows, the rule that says so, and the link."""

    rule: Rule
    finding: str
    value: str
    link: Link


class RuleBase:
    """Knowledge and its cross-references, each worked out once and only when wanted.

    ``shipped`` is the knowledge without the site's own rules, when there is a site to compare with.
    """

    def __init__(self, knowledge: Knowledge, shipped: Knowledge | None = None) -> None:
        self.knowledge, self.shipped = knowledge, shipped

    @cached_property
    def mentioned(self) -> Mapping[str, tuple[Mention, ...]]:
        """Rule -> all that its conditions speak of."""
        return {rule.id: tuple(mentions(rule.when)) for rule in self.knowledge.rules.values()}

    @cached_property
    def uses(self) -> Mapping[str, tuple[Use, ...]]:
        """Finding or condition -> its uses, in file order."""
        found: defaultdict[str, list[Use]] = defaultdict(list)
        for name, use in self._all_uses():
            found[name].append(use)
        return {name: tuple(uses) for name, uses in found.items()}

    def _all_uses(self) -> Iterator[tuple[str, Use]]:
        for rule in self.knowledge.rules.values():
            if rule.symptom:
                yield rule.symptom[0], Use("symptom", "rule", rule.id, (rule.symptom[1],))
            for mention in self.mentioned[rule.id]:
                yield mention.attribute, Use("when", "rule", rule.id, mention.values)
        for check in self.knowledge.checks.values():
            yield check.ask, Use("asked", "check", check.id, ())
            for mention in mentions(check.holds):
                yield mention.attribute, Use("holds", "check", check.id, mention.values)
        for cause in self.knowledge.causes.values():
            for how, wanted in (("requires", cause.requires), ("excludes", cause.excludes)):
                for finding, values in wanted.items():
                    yield finding, Use(how, "cause", cause.id, tuple(sorted(values)))

    @cached_property
    def signs(self) -> Mapping[str, tuple[Sign, ...]]:
        """Cause -> the signs that it shows."""
        found: defaultdict[str, list[Sign]] = defaultdict(list)
        for rule in self.knowledge.rules.values():
            for link in rule.links if rule.symptom else ():
                found[link.cause].append(Sign(rule, *(rule.symptom or ("", "")), link))
        return {name: tuple(signs) for name, signs in found.items()}

    @cached_property
    def concluded(self) -> Mapping[tuple[str, str], tuple[Rule, ...]]:
        """(Condition, value) -> the rules that conclude it."""
        found: defaultdict[tuple[str, str], list[Rule]] = defaultdict(list)
        for rule in self.knowledge.rules.values():
            for pair in rule.conclude.items():
                found[pair].append(rule)
        return {pair: tuple(rules) for pair, rules in found.items()}

    @cached_property
    def raised(self) -> Mapping[str, tuple[Rule, ...]]:
        """Caution -> the rules that raise it."""
        found: defaultdict[str, list[Rule]] = defaultdict(list)
        for rule in self.knowledge.rules.values():
            for caution in rule.cautions:
                found[caution].append(rule)
        return {caution: tuple(rules) for caution, rules in found.items()}

    @cached_property
    def judging(self) -> Mapping[str, tuple[str, ...]]:
        """Finding -> the conditions judged from it."""
        found: defaultdict[str, list[str]] = defaultdict(list)
        for condition in self.knowledge.findings.values():
            for name in condition.judged_from:
                found[name].append(condition.id)
        return {name: tuple(conditions) for name, conditions in found.items()}

    def can_be_said(self, finding: Finding) -> bool:
        """Tell whether somebody can say it: it is no condition, or a condition that is judged from findings."""
        return not finding.concluded or bool(finding.judged_from)
