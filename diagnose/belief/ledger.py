"""The weight of every cause and pair of causes, as logarithms, entered and struck answer by answer.

With L_f(S) the likelihood of the answer to finding f when just the parents S of f are present, and everything divided
by L_f(no parent), the hypothesis {i} weighs exp(l_i) and {i, j} weighs exp(l_i + l_j + r_ij):

    l_i  = log odds_i + sum over answered f of log L_f(i) / L_f()
    r_ij = log lift_ij + sum over answered f that both i and j are parents of, of log L_f(ij) L_f() / (L_f(i) L_f(j))

Sums are exactly rounded (`math.fsum`), so they depend on which answers stand and not on the order they came in.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import fsum, inf, log

from diagnose.belief.effects import Effects, effects
from diagnose.belief.evidence import Likelihood
from diagnose.belief.table import Distribution, Table

__all__ = ["Entry", "Ledger"]

_BEFORE = ""  # stands where a finding's name would: what two causes have to do with each other before any answer


@dataclass(frozen=True, slots=True)
class Entry:
    """One answer's likelihood under no parent, each parent alone, each pair of parents, and something not listed."""

    none: float
    alone: tuple[float, ...]
    together: tuple[float, ...]
    elsewhere: float

    @classmethod
    def of(cls, table: Table, elsewhere: Distribution, likelihood: Likelihood) -> "Entry":
        """Weigh P(said | value) by P(value | parents present)."""
        said = [likelihood[value] for value in table.values]

        def weigh(distribution: Distribution) -> float:
            return sum(p * q for p, q in zip(said, distribution, strict=True))

        return cls(
            weigh(table.none), tuple(map(weigh, table.alone)), tuple(map(weigh, table.together)), weigh(elsewhere)
        )

    @property
    def effects(self) -> Effects:
        """The likelihood's own effects, for its mean over other beliefs."""
        return effects(self.none, self.alone, self.together)


class Ledger:
    """Log weights l_i (`log_weight`) and log ratios r_ij (`log_ratio[i][j]`, both ways), by index of cause."""

    def __init__(
        self, odds: Sequence[float], not_listed_odds: float, lifts: Mapping[tuple[int, int], float] | None = None
    ) -> None:
        self._log_odds = [log(each) for each in odds]
        self._log_not_listed_odds = log(not_listed_odds) if not_listed_odds else -inf
        self._on_cause: list[dict[str, float]] = [{} for _ in odds]
        self._on_pair: dict[tuple[int, int], dict[str, float]] = {}
        self._on_none: dict[str, float] = {}
        self._on_not_listed: dict[str, float] = {}
        self._excluded: set[int] = set()
        self.log_weight = list(self._log_odds)
        self.log_ratio: dict[int, dict[int, float]] = {}
        for (i, j), lift in (lifts or {}).items():
            self._on_pair[i, j] = {_BEFORE: log(lift)}
            self._relate(i, j, self._on_pair[i, j])

    def enter(self, finding: str, parents: Sequence[int], entry: Entry) -> None:
        """Count an answer whose finding has these parents."""
        log_none = log(entry.none)
        shifts = [log(each) - log_none for each in entry.alone]
        self._on_none[finding] = log_none
        self._on_not_listed[finding] = log(entry.elsewhere) - log_none
        for i, shift in zip(parents, shifts, strict=True):
            self._on_cause[i][finding] = shift
            self._weigh(i)
        both = zip(combinations(parents, 2), combinations(shifts, 2), entry.together, strict=True)
        for (i, j), (one, other), together in both:
            on_pair = self._on_pair.setdefault((min(i, j), max(i, j)), {})
            on_pair[finding] = log(together) - log_none - one - other
            self._relate(i, j, on_pair)

    def strike(self, finding: str, parents: Sequence[int]) -> None:
        """Take an answer back, as if it had never been entered."""
        del self._on_none[finding], self._on_not_listed[finding]
        for i in parents:
            del self._on_cause[i][finding]
            self._weigh(i)
        for i, j in combinations(sorted(parents), 2):
            on_pair = self._on_pair[i, j]
            del on_pair[finding]
            if on_pair:
                self._relate(i, j, on_pair)
            else:
                self._part(i, j)

    def exclude(self, i: int) -> None:
        """Give the cause no weight at all."""
        self._excluded.add(i)
        self._weigh(i)

    def readmit(self, i: int) -> None:
        """Give the cause back the weight its answers leave it."""
        self._excluded.discard(i)
        self._weigh(i)

    @property
    def log_none(self) -> float:
        """Log likelihood of all answers when no cause is present: the unit of every other weight."""
        return fsum(self._on_none.values())

    @property
    def log_not_listed(self) -> float:
        """Log weight of something not listed here."""
        return self._log_not_listed_odds + fsum(self._on_not_listed.values())

    def _weigh(self, i: int) -> None:
        evidence = self._log_odds[i] + fsum(self._on_cause[i].values())
        self.log_weight[i] = -inf if i in self._excluded else evidence

    def _relate(self, i: int, j: int, on_pair: dict[str, float]) -> None:
        ratio = fsum(on_pair.values())
        self.log_ratio.setdefault(i, {})[j] = ratio
        self.log_ratio.setdefault(j, {})[i] = ratio

    def _part(self, i: int, j: int) -> None:
        del self._on_pair[i, j]
        for one, other in ((i, j), (j, i)):
            del self.log_ratio[one][other]
            if not self.log_ratio[one]:
                del self.log_ratio[one]
