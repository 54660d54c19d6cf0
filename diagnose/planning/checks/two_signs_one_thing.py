"""two-signs-one-thing: two findings of one condition are both tied to one cause.

They are two looks at the same thing; tied to the cause each, the thing is counted twice.

Bad:
    findings:
      exhaust-gauge-two:
        ask: What does the second exhaust gauge show?
        how: Read it from where you stand.
        values: {usual: normal, high: abnormal}
        also-called: [second gauge]
        source: common practice
      exhaust-feel:
        ask: How does the exhaust line sound?
        how: Listen from a distance.
        values: {usual: normal, roaring: abnormal}
        also-called: [exhaust roars]
        source: common practice
    conditions:
      exhaust-state:
        title: State of the exhaust
        values: {well: normal, tight: abnormal}
        judged-from: [exhaust-gauge-two, exhaust-feel]
        source: common practice
    rules:
      - rule: state-tight
        when: [{any-of: [{exhaust-gauge-two: high}, {exhaust-feel: roaring}]}]
        conclude: {exhaust-state: tight}
        source: common practice
      - rule: gauge-two-high
        symptom: {exhaust-gauge-two: high}
        causes: {exhaust-shut: usually}
        caution: casing-pressure
        source: common practice
      - rule: exhaust-roars
        symptom: {exhaust-feel: roaring}
        causes: {exhaust-shut: usually}
        caution: casing-pressure
        source: common practice
      - rule: state-told
        when: [{exhaust-state: tight}]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    findings:
      exhaust-gauge-two:
        ask: What does the second exhaust gauge show?
        how: Read it from where you stand.
        values: {usual: normal, high: abnormal}
        also-called: [second gauge]
        source: common practice
      exhaust-feel:
        ask: How does the exhaust line sound?
        how: Listen from a distance.
        values: {usual: normal, roaring: abnormal}
        also-called: [exhaust roars]
        source: common practice
    conditions:
      exhaust-state:
        title: State of the exhaust
        values: {well: normal, tight: abnormal}
        judged-from: [exhaust-gauge-two, exhaust-feel]
        source: common practice
    rules:
      - rule: state-tight
        when: [{any-of: [{exhaust-gauge-two: high}, {exhaust-feel: roaring}]}]
        conclude: {exhaust-state: tight}
        source: common practice
      - rule: tight-seen
        symptom: {exhaust-state: tight}
        causes: {exhaust-shut: usually}
        caution: casing-pressure
        source: common practice
Mend: Tie the cause to the condition, and to neither of the findings.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "two-signs-one-thing", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem at the later rule for each pair of findings of a condition tied to one cause."""
    for cause, signs in base.signs.items():
        first: dict[str, tuple[str, str]] = {}
        for sign in signs:
            for condition in base.judging.get(sign.finding, ()):
                finding, rule = first.setdefault(condition, (sign.finding, sign.rule.id))
                if finding != sign.finding:
                    says = f"'{cause}' is tied to '{sign.finding}' and, in '{rule}', to '{finding}': "
                    says += f"both tell of '{condition}'."
                    yield Problem(sign.rule.place, CODE, says, f"Tie it to '{condition}' instead.")
