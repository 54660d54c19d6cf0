"""The exact optimum of questioning: least expected cost until the matter is settled, by dynamic programming.

For networks of a dozen causes and some eight questions. A state is what each question got: nothing yet, one of its
values, or that it cannot be told. Every hypothesis (single causes, pairs, something not listed) has its weight in
every state, so nothing here rests on the arithmetic of `diagnose.belief`, which is compared with it.
"""

from __future__ import annotations

from functools import cached_property
from itertools import combinations
from math import prod
from typing import TYPE_CHECKING

import numpy as np

from diagnose.belief import Belief, firm

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from diagnose.belief import Likelihood, Network

    State = tuple[int, ...]  # of each question: 0 not asked, 1 + k for its value k, one more: it cannot be told
    Choice = Callable[[Belief, Sequence[str]], "str | None"]  # what is believed, what is open -> what to ask

UNLIKELY = 1e-5  # what a policy meets more seldom is costed as if everything were asked there: an upper bound


class Questioning:
    """Expected costs of asking, from what is known at the beginning (`given`) until settled or out of questions.

    `settled` judges the shares of the causes, in their order, and that of something not listed; `cost` is what each
    question costs and `can_tell` how often it can be answered.
    """

    def __init__(
        self,
        network: Network,
        cost: Mapping[str, float],
        settled: Callable[[Sequence[float], float], object],
        *,
        given: Mapping[str, Likelihood] | None = None,
        can_tell: Mapping[str, float] | None = None,
    ) -> None:
        self.network, self.cost, self._settled = network, dict(cost), settled
        self.given, self._can_tell = dict(given or {}), dict(can_tell or {})
        self.questions = [finding for finding in network.findings if finding not in self.given]
        names = list(network.causes)
        self._sets = [frozenset(each) for n in (1, 2) for each in combinations(names, n)] + [frozenset()]
        self._members = np.array([[float(name in each) for name in names] for each in self._sets])

    def cheapest(self) -> float:
        """Return the expected cost under the best choice there is at every state."""
        mass, is_settled = self._states
        left = np.zeros(mass.shape)
        for _ in self.questions:  # so many answers are to come at most
            best = np.full(mass.shape, np.inf)
            for axis, finding in enumerate(self.questions):
                now, after = np.moveaxis(mass, axis, 0), np.moveaxis(left, axis, 0)
                told = self._can_tell.get(finding, 1.0)
                cost = self.cost[finding] + told * (now[1:-1] * after[1:-1]).sum(axis=0) / now[0]
                cost += (1.0 - told) * after[-1]
                target = np.moveaxis(best, axis, 0)[:1]
                np.minimum(target, cost, out=target)
            left = np.where(is_settled | np.isinf(best), 0.0, best)
        return float(left.flat[0])

    def of(self, choice: Choice) -> float:
        """Return the expected cost when a policy chooses; it sees the program's own `Belief`."""
        belief = Belief(self.network)
        for finding, likelihood in self.given.items():
            belief.answer(finding, likelihood)
        return self._of(choice, belief, (0,) * len(self.questions), 1.0, {})

    def _of(self, choice: Choice, belief: Belief, state: State, chance: float, known: dict[State, float]) -> float:
        if state in known:
            return known[state]
        mass, is_settled = self._states
        still_open = [finding for finding, got in zip(self.questions, state, strict=True) if not got]
        if is_settled[state] or not still_open:
            return 0.0
        if chance < UNLIKELY:
            return sum(self.cost[finding] for finding in still_open)
        finding = choice(belief, still_open)
        if finding is None:
            return 0.0
        axis, table = self.questions.index(finding), self.network.findings[finding]
        told, cost = self._can_tell.get(finding, 1.0), self.cost[finding]
        for got, value in enumerate((*table.values, None), 1):
            then = (*state[:axis], got, *state[axis + 1 :])
            likely = 1.0 - told if value is None else told * mass[then] / mass[state]
            if likely > 0.0:
                learnt = belief if value is None else belief.supposing(finding, firm(table, value))
                cost += likely * self._of(choice, learnt, then, chance * likely, known)
        known[state] = cost
        return cost

    @cached_property
    def _states(self) -> tuple[np.ndarray, np.ndarray]:
        """The mass of all hypotheses at every state, and whether the matter is settled there."""
        weights = self._start[np.newaxis]
        for finding in self.questions:
            silent = np.ones((1, len(self._sets)))
            factors = np.concatenate([silent, self._says(finding), silent])
            weights = (weights[:, np.newaxis] * factors).reshape(-1, len(self._sets))
        mass = weights.sum(axis=1)
        shares, not_listed = weights @ self._members / mass[:, np.newaxis], weights[:, -1] / mass
        rows = zip(shares.tolist(), not_listed.tolist(), strict=True)
        is_settled = np.array([bool(self._settled(row, other)) for row, other in rows])
        shape = tuple(len(self.network.findings[finding].values) + 2 for finding in self.questions)
        return mass.reshape(shape), is_settled.reshape(shape)

    def _says(self, finding: str) -> np.ndarray:
        """P(a firm answer is v | hypothesis): a row a value, a column a hypothesis."""
        table = self.network.findings[finding]
        return np.array([table.said(shown) for shown in self._shown(finding)]).T

    def _shown(self, finding: str) -> list[tuple[float, ...]]:
        table = self.network.findings[finding]
        return [table.given(each) for each in self._sets[:-1]] + [self.network.elsewhere(finding)]

    @cached_property
    def _start(self) -> np.ndarray:
        """The weight of each hypothesis with what is given."""
        odds, lifts = self.network.causes, self.network.lifts
        listed = [prod(odds[name] for name in each) * lifts.get(each, 1.0) for each in self._sets[:-1]]
        share = self.network.not_listed
        weights = np.array([*listed, share / (1.0 - share) * sum(listed)])
        for finding, likelihood in self.given.items():
            says = np.array([likelihood[value] for value in self.network.findings[finding].values])
            weights *= np.array(self._shown(finding)) @ says
        return weights
