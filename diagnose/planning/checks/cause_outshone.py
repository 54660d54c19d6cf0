"""cause-outshone: with every sign answered just as this cause shows it, another cause still leads.

The frequencies make the other one unbeatable: this cause can be right and never come first.

Bad:
    causes:
      gland-drain-blocked:
        title: Gland drain blocked
        how-common: rare
        if-left: Water collects in the oil.
        put-right: [{who: maintenance, do: Clear the drain.}]
        source: common practice
    rules:
      - rule: knocking-by-gland
        symptom: {noise: knocking}
        causes: {gland-steam: usually, gland-drain-blocked: about half}
        source: common practice
      - rule: milky-oil
        symptom: {oil-look: milky}
        causes: {jacket-leak: almost always, gland-steam: rarely}
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
        causes: {gland-steam: rarely, gland-drain-blocked: almost always}
        source: common practice
Mend: Add a sign that this cause shows and the other does not, or correct the words.
"""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

from diagnose.planning.rows import Rows, rows, together
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "cause-outshone", "warning"

_MARGIN = log(1.5)  # a near tie is no fault: a word is no sharper than this


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each cause that another beats even in its own picture."""
    table = rows(base)
    prior = {
        cause.id: log(base.knowledge.scales.how_common[cause.how_common]) for cause in base.knowledge.causes.values()
    }
    likely = {
        cause: {finding: table.log_likelihoods(cause, finding) for finding in row.shows}
        for cause, row in table.of.items()
    }
    leak = {finding: table.log_likelihoods("", finding) for finding in table.leaks}
    idle = {cause: sum(mine[one][""] - leak[one][""] for one in mine) for cause, mine in likely.items()}
    for cause, row in table.of.items():
        scores = _scores(row.picture(), table, likely, leak, idle)
        own = scores[cause] + prior[cause] + _MARGIN
        ahead = {other: score + prior[other] for other, score in scores.items() if score + prior[other] > own}
        best = max((other for other in ahead if together(base, other, cause)), key=ahead.__getitem__, default="")
        if best and table.of[best].shows != row.shows:
            says = f"'{cause}' can never come first: with its own signs, '{best}' still leads."
            mend = f"Add a sign that '{best}' does not show, or correct the words."
            yield Problem(base.knowledge.causes[cause].place, CODE, says, mend)


def _scores(
    picture: Mapping[str, str],
    table: Rows,
    likely: Mapping[str, Mapping[str, Mapping[str, float]]],
    leak: Mapping[str, Mapping[str, float]],
    idle: Mapping[str, float],
) -> dict[str, float]:
    """Return, for the causes that share a sign, the log likelihood of the picture against that of no cause at all.

    What a cause shows beyond the picture is answered as normal; ``idle`` is what that costs it.
    """
    scores: dict[str, float] = {}
    for finding, value in picture.items():
        nobody = leak[finding]
        for cause in table.shown_by[finding]:
            mine = likely[cause][finding]
            gain = (mine[value] - nobody[value]) - (mine[""] - nobody[""])
            scores[cause] = scores.get(cause, idle[cause]) + gain
    return scores
