"""circular-rules: a condition that follows only from itself.

Rules conclude it from something that rests on it in turn, and nothing from outside starts the round.

Bad:
    conditions:
      hot-box: {title: The housing is hot, source: common practice}
      dry-box: {title: The housing is dry, source: common practice}
    rules:
      - rule: dry-from-hot
        when: [{hot-box: true}]
        conclude: {dry-box: true}
        source: common practice
      - rule: hot-from-dry
        when: [{dry-box: true}]
        conclude: {hot-box: true}
        source: common practice
Good:
    conditions:
      hot-box: {title: The housing is hot, source: common practice}
      dry-box: {title: The housing is dry, source: common practice}
    rules:
      - rule: dry-from-hot
        when: [{hot-box: true}]
        conclude: {dry-box: true}
        source: common practice
      - rule: hot-from-knocking
        when: [{noise: knocking}]
        conclude: {hot-box: true}
        source: common practice
      - rule: dry-told
        when: [{dry-box: true}]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Let one of the conditions follow from a finding or a reading.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.planning.mentions import certain
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Rule
    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "circular-rules", "error"

_Pair = tuple[str, str]


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each condition's value that no chain of rules from the outside reaches though rules exist."""
    rests = {pair: [set(_rests_on(rule, base)) for rule in rules] for pair, rules in base.concluded.items()}
    reached: set[_Pair] = set()
    waiting = dict(rests)
    while True:
        news = {
            pair
            for pair, ways in waiting.items()
            if any(all(any(one in reached for one in choice) for choice in way) for way in ways)
        }
        if not news:
            break
        reached |= news
        waiting = {pair: ways for pair, ways in waiting.items() if pair not in news}
    for pair in sorted(waiting):
        if all(choice & rests.keys() for way in rests[pair] for choice in way):
            says = f"'{pair[0]}: {pair[1]}' follows only from itself, through {_chain(pair, rests)}."
            yield Problem(base.concluded[pair][0].place, CODE, says, "Let it follow from a finding or a reading.")


def _rests_on(rule: Rule, base: RuleBase) -> Iterator[frozenset[_Pair]]:
    """Give what a rule needs and only rules can give: for each condition, the pairs of which one is enough."""
    wanted = [(one.attribute, one.values) for one in certain(rule.when)]
    for attribute, values in [*wanted, *([(rule.symptom[0], rule.symptom[1:])] if rule.symptom else [])]:
        finding = base.knowledge.findings.get(attribute)
        if finding is not None and not base.can_be_said(finding) and values:
            yield frozenset((attribute, value) for value in values)


def _chain(pair: _Pair, rests: dict[_Pair, list[set[frozenset[_Pair]]]]) -> str:
    names, at = [pair[0]], pair
    for _ in range(len(rests)):
        at = min(min(choice & rests.keys()) for way in rests[at] for choice in way if choice & rests.keys())
        if at[0] in names:
            break
        names.append(at[0])
    return " and ".join(f"'{name}'" for name in names)
