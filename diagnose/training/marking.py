"""The mark of an open case: safety first, then accuracy, then economy of checks, then the order of actions.

Safety counts 40, accuracy 30, economy 20, order 10. An unsafe case (a stop or do-not-start left undone, or somebody
else's work done oneself) counts 0, however right the cause: in scored patient-management problems a harmful choice
is not bought off by useful ones (McGuire and Babbott 1967). Hints cost 5 each.

Accuracy is the quadratic score of Brier (1950): of each cause named, and of each true one left out, (p - y)^2 is lost.
It is proper: nobody gains by stating another probability than he holds. Beside it stand certainty marks: right 1, 2, 3,
wrong 0, -2, -6, for certainty below 67 %, from 67 %, from 80 % (Gardner-Medwin): each level pays best in its own range.

Economy is information: expected bits of the checks chosen, over what the best open check would have told in the same
minutes, summed over the choices; stopping while a check was still worth its time counts as a choice that told nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.training import handling, safety

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from diagnose.consultation.next_question import Candidate
    from diagnose.training.handling import Handling, Offer
    from diagnose.training.open_case import Look, OpenCase
    from diagnose.training.safety import Act, Safety

__all__ = ["HINT", "PASS", "WEIGHTS", "Accuracy", "Economy", "Marks", "accuracy", "economy", "mark", "total"]

WEIGHTS = {"safety": 40.0, "accuracy": 30.0, "economy": 20.0, "order": 10.0}
HINT = 5.0
PASS = 60.0
_CERTAIN = ((0.80, 3, -6), (0.67, 2, -2), (0.0, 1, 0))


class Accuracy(NamedTuple):
    """The mark (1 perfect.

    Below 0 when sure of what is wrong), the certainty mark and level, and whether the leading cause was right;
    ``truth`` is the accepted set it was marked against.
    """

    mark: float
    certainty: int
    level: int
    right: bool
    truth: frozenset[str]


class Economy(NamedTuple):
    """The mark (0 to 1).

    Bits chosen and bits attainable; minutes taken and minutes of the program's own path; what stopping early left
    untold (the check, its bits).
    """

    mark: float
    bits: float
    attainable: float
    minutes: float
    own_minutes: float
    left: tuple[str, float]


class Marks(NamedTuple):
    """All parts and the whole, 0 to 100; ``unsafe`` tells why it counts 0: "", "left-undone" or "not-yours"."""

    total: float
    safety: Safety
    accuracy: Accuracy
    economy: Economy
    handling: Handling
    hints: int
    unsafe: str

    @property
    def passed(self) -> bool:
        """Whether the case was handled well enough."""
        return self.total >= PASS


def accuracy(stated: Mapping[str, float], accepted: Sequence[Collection[str]]) -> Accuracy:
    """Mark stated probabilities (cause -> 0..1; "" is what the rules do not cover) against the sets that are right.

    1 - sum of (p - y)^2 over the causes named or true, divided by 1 + number of true causes.

    >>> round(accuracy({"a": 0.7, "b": 0.2, "c": 0.1}, [{"a"}]).mark, 2)
    0.93
    """
    return max((_against(stated, truth) for truth in accepted), key=lambda one: one.mark)


def _against(stated: Mapping[str, float], truth: Collection[str]) -> Accuracy:
    truth = frozenset(truth) or frozenset([""])
    lost = sum((stated.get(cause, 0.0) - (cause in truth)) ** 2 for cause in {*stated, *truth})
    leader = max(stated, key=lambda cause: stated[cause], default=None)
    right = leader in truth
    level, certainty = _certainty(stated[leader], right=right) if leader is not None else (0, 0)
    return Accuracy(1.0 - lost / (1 + len(truth)), certainty, level, right, truth)


def _certainty(share: float, *, right: bool) -> tuple[int, int]:
    return next((level, level if right else wrong) for least, level, wrong in _CERTAIN if share >= least)


def economy(looks: Sequence[Look], still: Candidate | None, own_minutes: float) -> Economy:
    """Mark the checks chosen. ``still`` is the check that was worth its time when the trainee stopped, if any."""
    bits = sum(look.choice.bits for look in looks)
    attainable = sum(look.choice.best_bits for look in looks) + (still.bits if still else 0.0)
    minutes = sum(look.choice.minutes for look in looks)
    told = bits / attainable if attainable > 0 else 1.0
    waste = sum(look.choice.minutes for look in looks if not look.choice.best)  # after nothing was worth asking
    left = (still.finding, still.bits) if still else ("", 0.0)
    mark = told * (1.0 - waste / minutes if minutes else 1.0)
    return Economy(mark, bits, attainable, minutes, own_minutes, left)


def mark(
    opened: OpenCase,
    acts: Sequence[Act],
    stated: Mapping[str, float],
    handled: tuple[Sequence[Offer], Sequence[int], str],
    own_minutes: float,
    hints: int = 0,
) -> Marks:
    """Mark a case as it was looked into. ``handled`` is (what was offered, what was chosen in order, whom to tell)."""
    case, cautions = opened.case, opened.knowledge.cautions
    arose = [opened.first_cautions, *(look.cautions for look in opened.looks)]
    demanded = safety.demands(arose, cautions, acts)
    safe = safety.judge(demanded, acts)
    accurate = accuracy(stated, [case.true_causes, *case.accept])
    still = None if opened.settled else opened.best()
    economic = economy(opened.looks, still, own_minutes)
    call = any(one.step != "look" for one in demanded) or _serious(opened)
    done = handling.judge(*handled, call=call)
    unsafe = "left-undone" if safe.dangerous else "not-yours" if done.forbidden else ""
    whole = total(safe.mark, accurate.mark, economic.mark, done.mark, hints, unsafe=bool(unsafe))
    return Marks(whole, safe, accurate, economic, done, hints, unsafe)


def total(safe: float, accurate: float, economic: float, order: float, hints: int, *, unsafe: bool) -> float:
    """Add the parts (0 to 1 each) up to 0..100; 0 when unsafe.

    >>> total(1, 1, 0.5, 1, 1, unsafe=False)
    85.0
    """
    parts = dict(zip(WEIGHTS, (safe, accurate, economic, order), strict=True))
    whole = sum(WEIGHTS[name] * part for name, part in parts.items()) - HINT * hints
    return 0.0 if unsafe else min(100.0, max(0.0, whole))


def _serious(opened: OpenCase) -> bool:
    causes = opened.knowledge.causes
    return any(causes[name].severity == "dangerous" for name in opened.case.true_causes)
