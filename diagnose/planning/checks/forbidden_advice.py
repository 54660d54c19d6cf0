"""forbidden-advice: a text tells somebody to defeat a protection, open a casing or touch what turns.

No rule, caution or question may do that, whoever it is addressed to. "Do not ..." and the like are well.

Bad:
    rules:
      - rule: trip-keeps-falling
        symptom: {oil-level: low}
        actions: [{who: maintenance, do: Bypass the trip until the end of the shift.}]
        source: common practice
Good:
    rules:
      - rule: trip-keeps-falling
        symptom: {oil-level: low}
        actions: [{who: maintenance, do: Find out why the trip falls; do not bypass it.}]
        source: common practice
Mend: Say what the local procedure gives instead, or that it is not to be done.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from diagnose.planning.texts import denied, texts_of
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "forbidden-advice", "error"

_DEFEAT = (
    r"\b(bypass|defeat|override|disable|gag|jumper|block off|plug|wedge|tie down|tie back|silence) (the |a |its )?"
)
_PROTECTION = r"(trips?|trip (valve|lever|latch|linkage)|(relief|warning|safety) valve|sentinel( valve)?|guards?)\b"
_FORBIDDEN = (
    _DEFEAT + _PROTECTION,
    r"\b(remove|take off|lift off|open) (the |a |its )?(coupling )?guard\b",
    r"\bopen (the |a |its )?(turbine )?(casing|steam chest)(?! drain)\b",
    r"\b(touch|hold|stop|brake) (the |a )?(shaft|coupling|rotor|rotating|turning)\b",
    r"\b(exceed|go above|run above|raise) (the |its )?(limit|trip speed|trip setting|relief setting)\b",
)
_PATTERN = re.compile("|".join(_FORBIDDEN), re.IGNORECASE)


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each text that tells to do what nobody may be told."""
    for written in texts_of(base.knowledge):
        for match in _PATTERN.finditer(written.text):
            if not denied(written.text, match.start()):
                says = f"'{match[0]}' ({written.what}) must not be told to anybody."
                yield Problem(written.place, CODE, says, "Say what the local procedure gives instead.")
