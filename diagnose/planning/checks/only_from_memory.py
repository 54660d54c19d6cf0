"""only-from-memory: a caution that stops a machine rests on memory alone.

Look for a published document, or make it the plant's own rule.

Bad:
    cautions:
      oil-fire:
        rank: stop-now
        say: Oil burns.
        do: Trip by hand and get away.
        source: from memory
    rules:
      - rule: oil-smokes
        symptom: {oil-level: low}
        caution: oil-fire
        source: common practice
Good:
    cautions:
      oil-fire:
        rank: stop-now
        say: Oil burns.
        do: Trip by hand and get away.
        source: NRC Information Notice 2001-19
    rules:
      - rule: oil-smokes
        symptom: {oil-level: low}
        caution: oil-fire
        source: common practice
Mend: Name the document and its clause in 'source'.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "only-from-memory", "note"

_STOPPING = ("stop-now", "do-not-start")


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a note for each stopping caution whose source is memory."""
    for caution in base.knowledge.cautions.values():
        if caution.rank in _STOPPING and caution.source == "from memory":
            says = f"The caution '{caution.id}' stops a machine and rests on memory alone."
            yield Problem(caution.place, CODE, says, "Name the document and its clause in 'source'.")
