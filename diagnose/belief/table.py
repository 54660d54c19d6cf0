"""One finding's table: its values, how often each is seen, and what the causes do to that."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from diagnose.belief.effects import Effects, effects
from diagnose.belief.errors import BeliefError
from diagnose.belief.noisy_or import abnormal, entropy, shares

__all__ = ["Distribution", "Table"]

Distribution = tuple[float, ...]  # one probability a value, in the table's order; they share out 1

WORST_ERROR = 0.5  # a question answered wrongly more often than rightly is not a question


@dataclass(frozen=True, eq=False)
class Table:
    """How a finding's values depend on the causes: noisy-OR with leak, net reading.

    `values` has the normal value first; `leak[v]` is how often abnormal v is seen with none of the causes;
    `links[cause, v]` how often with only that cause; all strictly between 0 and 1. `error` is how often a firm answer
    is wrong; `unlisted` how often, at the least, something not listed shows each abnormal value. Everything computed
    from a table is kept with it, so share tables between networks.
    """

    values: tuple[str, ...]
    leak: Mapping[str, float]
    links: Mapping[tuple[str, str], float]
    error: float = 0.0
    unlisted: float = 0.0

    @cached_property
    def parents(self) -> tuple[str, ...]:
        """The causes that have a link, each once, in the order of the links."""
        return tuple(dict.fromkeys(cause for cause, _ in self.links))

    def given(self, causes: Collection[str]) -> Distribution:
        """P(v|H): the values' distribution when exactly `causes` are present; causes without a link change nothing."""
        present = [cause for cause in self.parents if cause in causes]
        return shares(
            [
                abnormal(self.leak[value], (self.links.get((cause, value), 0.0) for cause in present))
                for value in self.values[1:]
            ]
        )

    @cached_property
    def none(self) -> Distribution:
        """P(v|no parent present)."""
        return self.given(())

    @cached_property
    def alone(self) -> tuple[Distribution, ...]:
        """P(v|only this parent present), in the order of `parents`."""
        return self._with_misses(self._misses)

    @cached_property
    def together(self) -> tuple[Distribution, ...]:
        """P(v|these two parents present), in the order of `combinations(parents, 2)`."""
        return self._with_misses([[p * q for p, q in combinations(each, 2)] for each in self._misses])

    @cached_property
    def _misses(self) -> list[list[float]]:
        """1 - p(c, v) for each abnormal value, of each parent."""
        return [[1.0 - self.links.get((cause, value), 0.0) for cause in self.parents] for value in self.values[1:]]

    def _with_misses(self, misses: Sequence[Sequence[float]]) -> tuple[Distribution, ...]:
        """P(v|H) for many H at once, from the product over each H of 1 - p(c, v), for each abnormal value."""
        quiet = [
            [(1.0 - self.leak[v]) * miss for miss in each] for v, each in zip(self.values[1:], misses, strict=True)
        ]
        if len(quiet) == 1:  # what `shares` comes to, but much the commonest
            return tuple([(each, 1.0 - each) for each in quiet[0]])
        return tuple([shares([1.0 - each for each in row]) for row in zip(*quiet, strict=True)])

    def said(self, distribution: Distribution) -> Distribution:
        """P(a firm answer is v) when the truth is so distributed: (1 - e) * P(v) + e * (1 - P(v)) / (k - 1).

        >>> [round(p, 3) for p in Table(("no", "yes"), {"yes": 0.1}, {}, error=0.05).said((0.9, 0.1))]
        [0.86, 0.14]
        """
        wrong = self.error / (len(self.values) - 1)
        kept = 1.0 - self.error - wrong
        return tuple([wrong + kept * p for p in distribution])

    @cached_property
    def answer_effects(self) -> tuple[Effects, ...]:
        """Effects on P(a firm answer is v) for each abnormal v, then effects on the answer's entropy in bits."""
        (none,) = zip(*self._answers([self.none]), strict=True)
        alone, together = self._answers(self.alone), self._answers(self.together)
        return tuple(map(effects, none, alone, together))

    def _answers(self, distributions: Sequence[Distribution]) -> list[Sequence[float]]:
        """P(a firm answer is v) under each distribution, for each abnormal v; then the answers' entropies."""
        said = [self.said(each) for each in distributions]
        columns = list(zip(*said, strict=True))[1:] or [()] * (len(self.values) - 1)
        return [*columns, [entropy(each) for each in said]]

    def check(self, finding: str, causes: Collection[str]) -> None:
        """Raise BeliefError for the first thing that is wrong, naming the finding and the culprit in it."""
        for culprit, says in self._faults(causes):
            raise BeliefError(f"{finding} {culprit}".strip(), says)

    def _faults(self, causes: Collection[str]) -> Iterator[tuple[str, str]]:
        abnormal_values = set(self.values[1:])
        if len(self.values) != len(abnormal_values | {*self.values[:1]}) or not abnormal_values:
            yield "", "needs a normal value, at least one abnormal value, and each only once"
        if set(self.leak) != abnormal_values:
            yield "", "needs a leak for every abnormal value and for nothing else"
        if not 0.0 <= self.error < WORST_ERROR:
            yield "error", f"is {self.error}; it must be at least 0 and below {WORST_ERROR}"
        for value, p in self.leak.items():
            if not 0.0 < p < 1.0:
                yield value, f"leak is {p}; it must lie between 0 and 1, and be neither"
        for (cause, value), p in self.links.items():
            if cause not in causes:
                yield cause, "is linked but is not a cause of the network"
            if value not in abnormal_values:
                yield f"{cause} {value}", "a link needs an abnormal value of the finding"
            if not 0.0 < p < 1.0:
                yield f"{cause} {value}", f"strength is {p}; it must lie between 0 and 1, and be neither"
