"""phase-never: a rule names a phase in which its finding is not asked.

The phase does nothing there: the symptom cannot be answered.

Bad:
    findings:
      run-up-sound:
        ask: How does it sound while it runs up?
        how: Listen from the panel.
        values: {even: normal, scraping: abnormal}
        phases: [run-up]
        also-called: [scraping]
        source: common practice
    rules:
      - rule: scrapes
        phases: [run-up, standby]
        symptom: {run-up-sound: scraping}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    findings:
      run-up-sound:
        ask: How does it sound while it runs up?
        how: Listen from the panel.
        values: {even: normal, scraping: abnormal}
        phases: [run-up]
        also-called: [scraping]
        source: common practice
    rules:
      - rule: scrapes
        phases: [run-up]
        symptom: {run-up-sound: scraping}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Delete the phase from the rule, or add it to the finding.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.knowledge.model import PHASES
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "phase-never", "note"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a note for each rule with its own phases, some of which are none of its symptom's."""
    for rule in base.knowledge.rules.values():
        finding = base.knowledge.findings.get(rule.symptom[0]) if rule.symptom else None
        if finding is None or finding.concluded or rule.phases.issuperset(PHASES):
            continue
        idle = [phase for phase in PHASES if phase in rule.phases - finding.phases]
        if idle and rule.phases & finding.phases:
            says = f"'{finding.id}' is not asked in {', '.join(idle)}, which the rule '{rule.id}' names."
            yield Problem(rule.place, CODE, says, "Delete the phase from the rule, or add it to the finding.")
