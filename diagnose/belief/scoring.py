"""How good probabilities were, once the truth is known: Brier, log score, calibration, and intervals for rates."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log, sqrt

from diagnose.belief.errors import BeliefError

__all__ = ["Bin", "brier", "brier_many", "calibration_error", "equal_bins", "log_loss", "reliability", "wilson"]

Z_95 = 1.959963984540054  # leaves 2.5 % of a normal distribution on each side


def brier(forecasts: Sequence[float], outcomes: Sequence[bool]) -> float:
    """Mean of (p - y)^2 (Brier 1950): 0 is perfect, 1 is always wrong and sure."""
    return _mean([(p - y) ** 2 for p, y in zip(forecasts, outcomes, strict=True)])


def brier_many(forecast: Mapping[str, float], truth: str) -> float:
    """Sum over the possibilities of (p - y)^2, for one case: 0 is perfect, 2 is wrong and sure."""
    return sum((p - (name == truth)) ** 2 for name, p in forecast.items())


def log_loss(forecasts: Sequence[float], outcomes: Sequence[bool]) -> float:
    """Mean of -ln P(what happened); infinite when something happened that was called impossible."""
    chances = [p if y else 1.0 - p for p, y in zip(forecasts, outcomes, strict=True)]
    return _mean([-log(p) if p > 0.0 else float("inf") for p in chances])


@dataclass(frozen=True, slots=True)
class Bin:
    """Forecasts above `low` and at most `high` (0 itself is in the first): how many, their mean, how many came true."""

    low: float
    high: float
    count: int
    confidence: float
    frequency: float


def equal_bins(n: int) -> list[float]:
    """Edges of n bins of equal width."""
    return [i / n for i in range(n + 1)]


def reliability(forecasts: Sequence[float], outcomes: Sequence[bool], edges: Sequence[float]) -> list[Bin]:
    """Sort forecasts into bins, empty ones left out: a calibrated forecaster's frequencies equal the confidences."""
    bins = []
    for low, high in pairwise(edges):
        inside = [(p, y) for p, y in zip(forecasts, outcomes, strict=True) if low < p <= high or (p == low == edges[0])]
        if inside:
            bins.append(
                Bin(low, high, len(inside), _mean([p for p, _ in inside]), _mean([float(y) for _, y in inside]))
            )
    return bins


def calibration_error(forecasts: Sequence[float], outcomes: Sequence[bool], edges: Sequence[float]) -> float:
    """ECE = sum over bins of n_b / n * |frequency - confidence| (Naeini, Cooper, Hauskrecht 2015).

    Small samples push it up even for a perfect forecaster: judge it against forecasts made true by chance.
    """
    bins = reliability(forecasts, outcomes, edges)
    return sum(b.count * abs(b.frequency - b.confidence) for b in bins) / sum(b.count for b in bins)


def wilson(successes: int, trials: int, z: float = Z_95) -> tuple[float, float]:
    """Bounds of a rate from counts (Wilson 1927); 95 % unless z says otherwise.

    >>> [round(bound, 4) for bound in wilson(27, 30)]
    [0.7438, 0.9654]
    """
    if not 0 <= successes <= trials or trials == 0:
        raise BeliefError(f"{successes} of {trials}", "needs at least one trial, and no more successes than trials")
    rate, spread = successes / trials, z * z / trials
    centre = rate + spread / 2
    reach = z * sqrt(rate * (1.0 - rate) / trials + spread / (4 * trials))
    return (centre - reach) / (1.0 + spread), (centre + reach) / (1.0 + spread)


def _mean(numbers: Sequence[float]) -> float:
    if not numbers:
        raise BeliefError("forecasts", "are none; there is nothing to score")
    return sum(numbers) / len(numbers)
