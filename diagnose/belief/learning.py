"""Frequencies learnt from closed jobs: Beta counts, so that old and new can be shown with what they rest on."""

from dataclasses import dataclass
from math import exp, lgamma, log, log1p

from diagnose.belief.errors import BeliefError

__all__ = ["Beta", "Learnt", "learnt", "regularised_beta"]


@dataclass(frozen=True, slots=True)
class Beta:
    """A frequency believed like `seen` occasions in `seen + unseen`; both above 0, and not whole numbers as a rule."""

    seen: float
    unseen: float

    @classmethod
    def of(cls, mean: float, strength: float) -> "Beta":
        """Turn a frequency that somebody stated into counts: believed as firmly as `strength` occasions."""
        if not 0.0 < mean < 1.0 or not strength > 0.0:
            raise BeliefError(f"{mean} {strength}", "needs a mean between 0 and 1, and a strength above 0")
        return cls(mean * strength, (1.0 - mean) * strength)

    def after(self, seen: int, unseen: int) -> "Beta":
        """Add what closed jobs showed."""
        if seen < 0 or unseen < 0:
            raise BeliefError(f"{seen} {unseen}", "counts cannot be below 0")
        return Beta(self.seen + seen, self.unseen + unseen)

    @property
    def mean(self) -> float:
        """The frequency to reckon with."""
        return self.seen / (self.seen + self.unseen)

    def interval(self, share: float = 0.95) -> tuple[float, float]:
        """Bounds that leave (1 - share) / 2 of the belief on each side."""
        tail = (1.0 - share) / 2
        return self.quantile(tail), self.quantile(1.0 - tail)

    def quantile(self, share: float) -> float:
        """Find the frequency below which this share of the belief lies, by halving down to the last bits of a float."""
        low, high = 0.0, 1.0
        while low < (middle := (low + high) / 2) < high:
            if regularised_beta(middle, self.seen, self.unseen) < share:
                low = middle
            else:
                high = middle
        return middle


@dataclass(frozen=True, slots=True)
class Learnt:
    """A proposal for a planner: the frequency as it is, as it would be, on how many occasions, and how sure that is."""

    old: float
    new: float
    count: int
    interval: tuple[float, float]


def learnt(old: float, strength: float, seen: int, unseen: int) -> Learnt:
    """Move a stated frequency by what was seen: seen `seen` times out of `seen + unseen`."""
    after = Beta.of(old, strength).after(seen, unseen)
    return Learnt(old, after.mean, seen + unseen, after.interval())


def regularised_beta(x: float, a: float, b: float) -> float:
    """I_x(a, b), the chance that a Beta(a, b) frequency is below x.

    By its continued fraction (DLMF 8.17.22), evaluated by Lentz's method, where that converges fast; else by
    I_x(a, b) = 1 - I_(1-x)(b, a).

    >>> round(regularised_beta(0.5, 2.0, 3.0), 12)
    0.6875
    """
    if not 0.0 < x < 1.0:
        return float(x >= 1.0)
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - regularised_beta(1.0 - x, b, a)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x)) / a
    return front / _continued_fraction(x, a, b)


def _continued_fraction(x: float, a: float, b: float) -> float:
    """1 + d_1 / (1 + d_2 / (1 + ...)), DLMF 8.17.23."""
    tiny, close, most = 1e-300, 1e-16, 10_000
    value = upper = 1.0
    lower = 0.0
    for n in range(1, most):
        m = n // 2
        if n % 2:
            d = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        else:
            d = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        lower = 1.0 / (1.0 + d * lower or tiny)
        upper = 1.0 + d / upper or tiny
        value *= upper * lower
        if abs(upper * lower - 1.0) < close:
            break
    return value
