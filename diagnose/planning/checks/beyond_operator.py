"""beyond-operator: an operator is told to do what is the supervisor's or maintenance's.

Operators look, read, report and do what their local procedure gives them. Taking apart, setting, tightening and
repairing are not theirs.

Bad:
    rules:
      - rule: low-level-seen
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tighten the drain plug.}]
        source: common practice
Good:
    rules:
      - rule: low-level-seen
        symptom: {oil-level: low}
        actions: [{who: maintenance, do: Tighten the drain plug.}]
        source: common practice
Mend: Give the action to maintenance or the supervisor; tell the operator whom to call.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from diagnose.planning.texts import clauses, denied, texts_of
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "beyond-operator", "error"

_ORDER = re.compile(
    r"\s*(dismantle|disassemble|overhaul|repair|replace|renew|refit|remove|take (off|apart|out)|unbolt|adjust|calibrate"
    r"|re-?set the (governor|spring|droop|relief|sentinel|warning|trip setting)|tighten|slacken|loosen|repack|align"
    r"|shim|grind|lap|weld|file|hammer (the|on|it)|strike|free (the )?(stem|valve|linkage|trip)|disconnect|uncouple"
    r"|lock out)\b"
    r"(?! (no|nothing|none|neither)\b)",
    re.IGNORECASE,
)


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each text to an operator that orders what is not an operator's."""
    for written in texts_of(base.knowledge):
        if written.who != "operator":
            continue
        for at, clause in clauses(written.text):
            match = _ORDER.match(clause)
            if match and not denied(written.text, at + match.start(1)):
                says = f"'{match[1]}' ({written.what}) is not an operator's."
                yield Problem(written.place, CODE, says, "Give it to maintenance or the supervisor.")
