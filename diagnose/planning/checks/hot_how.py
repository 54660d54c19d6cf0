"""hot-how: a question at a hazard whose 'how' says nothing of keeping away.

Where 'hazard' is not none, the operator must read how to look safely.

Bad:
    findings:
      plume:
        ask: How much steam comes from the gland?
        how: Look at the gland.
        values: {wisp: normal, heavy: abnormal}
        hazard: live steam
        also-called: [gland blows]
        source: common practice
    rules:
      - rule: plume-heavy
        symptom: {plume: heavy}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    findings:
      plume:
        ask: How much steam comes from the gland?
        how: Look at the gland from two metres away.
        values: {wisp: normal, heavy: abnormal}
        hazard: live steam
        also-called: [gland blows]
        source: common practice
    rules:
      - rule: plume-heavy
        symptom: {plume: heavy}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Say from where to look, what to wear, or what not to touch.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "hot-how", "note"

_CARE = re.compile(
    r"\b(away|distance|metres?|step|clear|aside|outside|afar|far|not|never|no|none|nothing|without|gloves?|goggles|torch|glance"
    r"|infrared|mirror|rod|side|out of line|stand|behind|keep|only|from where|from the|ask|read|log|record)\b",
    re.IGNORECASE,
)


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a note for each operator's question at a hazard whose 'how' has no word of care."""
    for finding in base.knowledge.findings.values():
        if finding.who == "operator" and finding.hazard != "none" and not _CARE.search(finding.how):
            says = f"'{finding.id}' is at a hazard ({finding.hazard}) and 'how' does not say how to look safely."
            yield Problem(finding.place, CODE, says, "Say from where to look, or what not to touch.")
