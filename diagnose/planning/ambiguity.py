"""Pairs of causes that are hard to tell apart, and the cheapest check that would separate each pair."""

from __future__ import annotations

from itertools import combinations
from math import exp, log, sqrt
from typing import TYPE_CHECKING, NamedTuple

from diagnose.planning.rows import Rows, rows, together
from diagnose.planning.rule_base import RuleBase

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.knowledge.model import Finding, Knowledge

__all__ = ["Pair", "ambiguities"]

_ALIKE = 0.5  # overlap of all that an operator can see, from 0 (never alike) to 1 (always alike)
_TELLS = 0.95  # a check whose answers overlap more than this separates nothing
_ROUND_TRIP = 2.0  # minutes that any check costs besides its own effort


class Pair(NamedTuple):
    """Two causes; ``overlap`` of what an operator can see of them; the best check, and whose it is; what to do."""

    causes: tuple[str, str]
    overlap: float
    dangerous: bool
    check: str
    who: str
    mend: str


def ambiguities(knowledge: Knowledge) -> tuple[Pair, ...]:
    """Return the pairs whose overlap is high: those with a dangerous cause first, then by overlap.

    The overlap is the product over findings of the Bhattacharyya coefficients of what each cause, alone, shows.
    """
    base = RuleBase(knowledge)
    table = rows(base)
    likely = {cause: {one: table.log_likelihoods(cause, one) for one in row.shows} for cause, row in table.of.items()}
    nobody = {one: table.log_likelihoods("", one) for one in table.leaks}
    near = {pair for causes in table.shown_by.values() for pair in combinations(sorted(causes), 2)}
    pairs = [
        _pair(first, second, likely, nobody, knowledge, table)
        for first, second in sorted(near)
        if together(base, first, second)
    ]
    found = [pair for pair in pairs if pair.overlap >= _ALIKE]
    return tuple(sorted(found, key=lambda one: (not one.dangerous, -one.overlap, one.causes)))


def _pair(
    first: str,
    second: str,
    likely: Mapping[str, Mapping[str, Mapping[str, float]]],
    nobody: Mapping[str, Mapping[str, float]],
    knowledge: Knowledge,
    table: Rows,
) -> Pair:
    overlap, best, worth = 0.0, "", 0.0
    for finding in table.of[first].shows.keys() | table.of[second].shows.keys():
        mine, its = (likely[cause].get(finding, nobody[finding]) for cause in (first, second))
        shared = log(sum(sqrt(exp(mine[value] + its[value])) for value in mine))
        known = knowledge.findings[finding]
        if known.who == "operator":
            overlap += shared
        gain = -shared * known.can_tell / (_ROUND_TRIP + _effort(known, knowledge))
        if shared < log(_TELLS) and gain > worth:
            best, worth = finding, gain
    causes = [knowledge.causes[one] for one in (first, second)]
    settled = next((one.settled_by for one in causes if one.settled_by), "")
    who = knowledge.findings[best].who if best else "maintenance" if settled else ""
    mend = (
        f"ask {best} ({who})"
        if best
        else f"only maintenance settles it: {settled}"
        if settled
        else "nothing separates them"
    )
    return Pair((first, second), exp(overlap), any(one.severity == "dangerous" for one in causes), best, who, mend)


def _effort(finding: Finding, knowledge: Knowledge) -> float:
    """Return the minutes that a check costs; of a condition, those of the first finding that it is judged from."""
    asked = knowledge.findings[finding.judged_from[0]] if finding.judged_from else finding
    return asked.effort
