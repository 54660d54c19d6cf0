"""Evidence that would be counted twice: two rules that tie causes to the same thing seen, where both may hold."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from diagnose.knowledge.model import Holds
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.knowledge.model import Finding, Rule

__all__ = ["counted_twice"]

_MEND = "Join them, or give them phases, features or conditions that never hold together."


def counted_twice(rules: Iterable[Rule], findings: Mapping[str, Finding]) -> Iterator[Problem]:
    """Give a Problem, at the later rule, for each pair of rules that would count one observation twice.

    Either both have causes for the same value of a finding; or one has causes for a condition and the other for a
    finding that the condition is judged from. Rules that never hold together are no fault.
    """
    by_finding: dict[str, list[Rule]] = {}
    for rule in rules:
        if rule.symptom and rule.links:
            by_finding.setdefault(rule.symptom[0], []).append(rule)
    for finding, tied in by_finding.items():
        for first, second in combinations(tied, 2):
            if first.symptom == second.symptom and _can_hold_together(first, second):
                seen = f"'{finding}: {(second.symptom or '')[1]}'"
                yield _problem(second, f"{seen} has causes in the rule '{first.id}' too: it would count twice.")
        yield from _judged(finding, tied, findings, by_finding)


def _judged(
    finding: str, tied: list[Rule], findings: Mapping[str, Finding], by_finding: Mapping[str, list[Rule]]
) -> Iterator[Problem]:
    for name in findings[finding].judged_from if finding in findings else ():
        for rule in by_finding.get(name, ()):
            for above in tied:
                if _can_hold_together(above, rule):
                    says = f"'{finding}' is judged from '{name}', and both have causes (see the rule '{above.id}')."
                    yield _problem(rule, says)


def _problem(rule: Rule, says: str) -> Problem:
    return Problem(rule.place, "evidence-counted-twice", says, _MEND)


def _can_hold_together(first: Rule, second: Rule) -> bool:
    if not first.phases & second.phases or first.needs & second.lacks or second.needs & first.lacks:
        return False
    wanted = {one.attribute: set(one.values) for one in first.when if isinstance(one, Holds)}
    return all(
        wanted.get(one.attribute, set(one.values)) & set(one.values) for one in second.when if isinstance(one, Holds)
    )
