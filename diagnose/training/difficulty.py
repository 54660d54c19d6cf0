"""How hard a case is, measured from the beliefs before anybody has tried it.

What makes a case hard is how long the evidence keeps the true causes hidden. A vague complaint, a second fault, a sign
that points the wrong way, questions that tell little: each of them shows in one number, the surprise that the true
causes would be (bits, -log2 of their share), taken at the report and after each of the program's own checks, and
averaged. 0 is as easy as can be; 1 means that on the way the truth is held as likely as not.
"""

from __future__ import annotations

from math import log2
from typing import TYPE_CHECKING, NamedTuple

from diagnose.training.open_case import ambiguity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.training.open_case import OpenCase

__all__ = ["BANDS", "Difficulty", "band", "measure"]

BANDS = {"easy": (0.0, 0.2), "middle": (0.2, 0.7), "hard": (0.7, 99.0)}  # bits hidden
_CHECKS = 10  # after which the average ends; where the questions end sooner the last share counts for the rest
_LEAST = 1e-6


class Difficulty(NamedTuple):
    """The measure, ``hidden``: the mean surprise of the least likely true cause, in bits.

    Beside it what contributes: ``ambiguity`` in bits of what is reported, faults, and ``misleading``, the decibans
    against the true causes on the program's own path.
    """

    hidden: float
    ambiguity: float
    faults: int
    misleading: float


def measure(walked: OpenCase) -> Difficulty:
    """Measure a case along the program's own path through it."""
    truth = walked.case.true_causes or frozenset([""])
    path = [walked.first_shares, *(look.shares for look in walked.looks)][: _CHECKS + 1]
    surprise = [max(-log2(max(shares.get(cause, 0.0), _LEAST)) for cause in truth) for shares in path]
    surprise += [surprise[-1]] * (_CHECKS + 1 - len(surprise))
    against = sum(_against(look.decibans, truth) for look in walked.looks)
    hidden = sum(surprise) / len(surprise)
    return Difficulty(hidden, ambiguity(walked.first_shares), len(walked.case.true_causes), against)


def band(difficulty: Difficulty) -> str:
    """Return the word for a difficulty."""
    return next((name for name, (_, most) in BANDS.items() if difficulty.hidden < most), "hard")


def _against(decibans: Mapping[str, float], truth: frozenset[str]) -> float:
    return sum(max(0.0, -decibans.get(cause, 0.0)) for cause in truth)
