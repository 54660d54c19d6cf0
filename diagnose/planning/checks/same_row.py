"""same-row: two causes that show exactly the same.

No check can ever tell them apart; only how common they are decides.

Bad:
    causes:
      gland-steam:
        title: Gland steam blows into the housing
        how-common: common
        if-left: Water collects in the oil.
        put-right: [{who: operator, do: Tell the supervisor.}]
        source: common practice
      gland-drain-blocked:
        title: Gland drain blocked
        how-common: seldom
        if-left: Water collects in the oil.
        put-right: [{who: maintenance, do: Clear the drain.}]
        source: common practice
    rules:
      - rule: knocking-by-gland
        symptom: {noise: knocking}
        causes: {gland-steam: usually, gland-drain-blocked: usually}
        source: common practice
      - rule: milky-oil
        symptom: {oil-look: milky}
        causes: {jacket-leak: almost always}
        caution: water-in-oil
        source: common practice
Good:
    causes:
      gland-drain-blocked:
        title: Gland drain blocked
        how-common: seldom
        if-left: Water collects in the oil.
        put-right: [{who: maintenance, do: Clear the drain.}]
        source: common practice
    rules:
      - rule: knocking-by-gland
        symptom: {noise: knocking}
        causes: {gland-steam: sometimes, gland-drain-blocked: usually}
        source: common practice
Mend: Add a sign or a maintenance check that only one of them shows, or join the two.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.planning.rows import rows, together
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "same-row", "warning"


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem at the later of two causes with one row that can be candidates together."""
    seen: dict[object, list[str]] = {}
    for cause, row in rows(base).of.items():
        key = frozenset(
            (finding, value, share) for finding, values in row.shows.items() for value, share in values.items()
        )
        for earlier in seen.setdefault(key, []):
            if together(base, earlier, cause) and not _settled(base, earlier, cause):
                says = f"'{cause}' and '{earlier}' show exactly the same: nothing can tell them apart."
                yield Problem(base.knowledge.causes[cause].place, CODE, says, "Add a sign that only one of them shows.")
        seen[key].append(cause)


def _settled(base: RuleBase, first: str, second: str) -> bool:
    """Tell whether each has hard logic of its own that the other lacks."""
    one, other = base.knowledge.causes[first], base.knowledge.causes[second]
    return (one.requires, one.excludes) != (other.requires, other.excludes)
