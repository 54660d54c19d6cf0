"""A quantity that depends only on which parents of a finding are present, written as a sum.

For hypotheses of at most two causes, any quantity F of the present parents is exactly
`base + sum of main[i] + sum of interaction[i, j]` over the parents i and the pairs of parents i, j that are present. So
its mean over all hypotheses needs only the mass that holds each parent and the mass of each pair of parents.
"""

from collections.abc import Sequence
from itertools import combinations
from operator import mul
from typing import NamedTuple

__all__ = ["Effects", "effects"]


class Effects(NamedTuple):
    """F as its value for no parent, the change each parent makes, and what each pair adds to the two changes."""

    base: float
    main: tuple[float, ...]
    interaction: tuple[float, ...]

    def mean_of_parents(self, held: Sequence[float]) -> float:
        """Sum of main effects, weighted by the mass that holds each parent."""
        return sum(map(mul, self.main, held), 0.0)

    def mean_of_pairs(self, pairs: Sequence[float]) -> float:
        """Sum of interactions, weighted by the mass of each pair of parents, in the order of `combinations`."""
        return sum(map(mul, self.interaction, pairs), 0.0)


def effects(none: float, alone: Sequence[float], together: Sequence[float]) -> Effects:
    """Effects of F from F(no parent), F(each parent alone), F(each pair, in the order of `combinations`).

    >>> effects(1.0, [2.0, 4.0], [8.0])
    Effects(base=1.0, main=(1.0, 3.0), interaction=(3.0,))
    """
    interaction = tuple(
        both - one - other + none for both, (one, other) in zip(together, combinations(alone, 2), strict=True)
    )
    return Effects(none, tuple(one - none for one in alone), interaction)
