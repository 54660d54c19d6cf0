"""How hard a case is, measured from the beliefs before anybody has tried it.

What makes it hard: a presenting symptom that leaves many causes open, more than one fault, evidence that points the
wrong way or stays silent, and how far the evidence can carry even a perfect questioner.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, NamedTuple

from diagnose.training.open_case import ambiguity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.training.open_case import OpenCase

__all__ = ["BANDS", "Difficulty", "band", "measure"]

BANDS = {"easy": (0.0, 2.8), "middle": (2.8, 4.5), "hard": (4.5, 99.0)}
# Weights of another fault, of a deciban the wrong way, of doubt left (its square root). Tried on seeded cases
# apart from those that the published figure is from.
_FAULT, _MISLEADING, _DOUBT = 2.0, 0.05, 3.0


class Difficulty(NamedTuple):
    """Bits of ambiguity in what is reported.

    Faults, decibans against the true causes on the program's own path, and the share of doubt (0 to 1) that is
    left at its end; ``score`` is their weighted sum.
    """

    ambiguity: float
    faults: int
    misleading: float
    doubt: float

    @property
    def score(self) -> float:
        """The measure: 0 is as easy as can be."""
        extra = max(0, self.faults - 1)
        return self.ambiguity + _FAULT * extra + _MISLEADING * self.misleading + _DOUBT * sqrt(max(0.0, self.doubt))


def measure(walked: OpenCase) -> Difficulty:
    """Measure a case along the program's own path through it."""
    truth = walked.case.true_causes or frozenset([""])
    against = sum(_against(look.decibans, truth) for look in walked.looks)
    final = walked.looks[-1].shares if walked.looks else walked.first_shares
    doubt = 1.0 - min(final.get(cause, 0.0) for cause in truth)
    return Difficulty(ambiguity(walked.first_shares), len(walked.case.true_causes), against, doubt)


def band(difficulty: Difficulty) -> str:
    """Return the word for a difficulty."""
    return next((name for name, (_, most) in BANDS.items() if difficulty.score < most), "hard")


def _against(decibans: Mapping[str, float], truth: frozenset[str]) -> float:
    return sum(max(0.0, -decibans.get(cause, 0.0)) for cause in truth)
