"""cause-without-sign: a cause that no finding points at.

No rule ties it to a symptom, so no answer can ever raise it above what it was before.

Bad:
    causes:
      oil-too-old:
        title: Oil too old
        how-common: seldom
        if-left: Bearings wear.
        put-right: [{who: maintenance, do: Change the oil.}]
        source: common practice
Good:
    causes:
      oil-too-old:
        title: Oil too old
        how-common: seldom
        if-left: Bearings wear.
        put-right: [{who: maintenance, do: Change the oil.}]
        source: common practice
    rules:
      - rule: knocking-by-oil
        symptom: {noise: knocking}
        causes: {oil-too-old: usually}
        source: common practice
Mend: Name it under 'causes' of the symptom that shows it, or delete it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "cause-without-sign", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each cause without a link."""
    for cause in base.knowledge.causes.values():
        if cause.id not in base.signs:
            says = f"No rule ties the cause '{cause.id}' to anything seen."
            yield Problem(cause.place, CODE, says, "Name it under 'causes' of the symptom that shows it.")
