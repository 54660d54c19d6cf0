"""unused-value: an abnormal value that no rule knows what to do with.

An operator who chooses it is answered with silence.

Bad:
    findings:
      drain:
        ask: What comes from the casing drain?
        how: Look from a metre away.
        values: {nothing: normal, water: abnormal, oil: abnormal}
        also-called: [drain drips]
        source: common practice
    rules:
      - rule: drain-water
        symptom: {drain: water}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    findings:
      drain:
        ask: What comes from the casing drain?
        how: Look from a metre away.
        values: {nothing: normal, water: abnormal}
        also-called: [drain drips]
        source: common practice
    rules:
      - rule: drain-water
        symptom: {drain: water}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write a rule for the value, or delete it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "unused-value", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each abnormal value of a used finding that no rule mentions."""
    for finding in base.knowledge.findings.values():
        uses = base.uses.get(finding.id, ())
        if not uses or any(not use.values for use in uses):
            continue
        used = {value for use in uses for value in use.values}
        for value, normal in finding.values.items():
            if not normal and value not in used:
                says = f"No rule knows what '{finding.id}: {value}' means."
                yield Problem(finding.place, CODE, says, "Write a rule for it, or delete the value.")
