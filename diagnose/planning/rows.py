"""What a cause shows, as a row of (finding, value) with probabilities: to compare causes with each other."""

from __future__ import annotations

from collections import defaultdict
from math import log, prod
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.planning.rule_base import RuleBase

__all__ = ["Row", "Rows", "rows", "together"]

_SURE = 0.5  # what a cause shows at least this often belongs to its picture
_FLOOR = 1e-9


class Row(NamedTuple):
    """For each finding the probabilities of the abnormal values that the cause shows."""

    shows: Mapping[str, Mapping[str, float]]

    def picture(self) -> dict[str, str]:
        """Give the value each finding most likely has when only this cause is present; '' stands for the normal one."""
        picture = {}
        for finding, values in self.shows.items():
            value = max(values, key=lambda one: values[one])
            picture[finding] = value if values[value] >= _SURE else ""
        return picture


class Rows(NamedTuple):
    """The rows of all causes; and for each finding the leaks of its abnormal values, and the causes that show it."""

    of: Mapping[str, Row]
    leaks: Mapping[str, Mapping[str, float]]
    shown_by: Mapping[str, tuple[str, ...]]

    def log_likelihoods(self, cause: str, finding: str) -> dict[str, float]:
        """Give log P(value | only this cause) for each value, '' the normal one; for no cause, of the leak alone."""
        shows = self.of[cause].shows.get(finding, {}) if cause else {}
        seen = {one: 1 - (1 - leak) * (1 - shows.get(one, 0.0)) for one, leak in self.leaks[finding].items()}
        normal, total = prod(1 - share for share in seen.values()), sum(seen.values())
        return {
            "": log(max(normal, _FLOOR)),
            **{one: log(max((1 - normal) * share / total, _FLOOR)) for one, share in seen.items()},
        }


def rows(base: RuleBase) -> Rows:
    """Collect the rows. Where rules for different contexts tie a cause to the same value, the strongest counts."""
    shows: dict[str, dict[str, dict[str, float]]] = {}
    shown_by: defaultdict[str, dict[str, None]] = defaultdict(dict)
    leaks: defaultdict[str, dict[str, float]] = defaultdict(dict)
    for cause, signs in base.signs.items():
        mine = shows.setdefault(cause, {})
        for sign in signs:
            values = mine.setdefault(sign.finding, {})
            values[sign.value] = max(values.get(sign.value, 0.0), sign.link.probability)
            leaks[sign.finding][sign.value] = max(leaks[sign.finding].get(sign.value, 0.0), sign.rule.otherwise)
            shown_by[sign.finding][cause] = None
    return Rows(
        {cause: Row(found) for cause, found in shows.items()},
        leaks,
        {finding: tuple(causes) for finding, causes in shown_by.items()},
    )


def together(base: RuleBase, first: str, second: str) -> bool:
    """Tell whether two causes can be candidates on one machine in one phase."""
    one, other = base.knowledge.causes[first], base.knowledge.causes[second]
    return bool(one.phases & other.phases) and not (one.needs & other.lacks or other.needs & one.lacks)
