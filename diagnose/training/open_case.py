"""A case that is looked into check by check, each choice measured against the best that was open.

The worth of a check is that of the consultation: bits of expected information a minute, from the same beliefs.
"""

from __future__ import annotations

from math import e, log2, log10
from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation.next_question import (
    ROUND_TRIP,
    Candidate,
    best,
    caution_signs,
    decided,
)
from diagnose.consultation.replay import machine_of
from diagnose.reasoning.situation import Said, Situation
from diagnose.training.told import answers_of, node_of, read_answer, reported

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.consultation.events import Answer
    from diagnose.consultation.next_question import Sign
    from diagnose.knowledge.model import Case, Finding, Knowledge, Machine

__all__ = ["Choice", "Look", "OpenCase", "ambiguity", "walk"]

_DECIBANS = 10 * log10(e)
TELLS_APART = 0.10  # least difference between what two causes show for a check to be said to tell them apart


class Choice(NamedTuple):
    """How a chosen check compares with the best one open.

    Bits are expected ones; regret is what the same minutes would have told more when spent on the best.
    ``rivals`` are the two leading causes; ``apart`` tells whether the check chosen, and the best, can tell them
    from each other.
    """

    bits: float
    minutes: float
    best: str  # the best check open; "" when none was worth its time
    best_bits: float  # in the minutes of the check chosen
    regret: float
    rivals: tuple[str, str]
    apart: tuple[bool, bool]
    pressing: bool  # the best could settle whether the machine must stop, or raise another caution: it comes first
    safety_first: bool  # and it was chosen


class Look(NamedTuple):
    """One check made: what it showed, how it compared, and what it did to the beliefs."""

    finding: str
    answer: Answer
    choice: Choice
    cautions: tuple[str, ...]  # new ones
    shares: Mapping[str, float]  # of every cause afterwards; "" is what the rules do not cover
    decibans: Mapping[str, float]  # weight of the answer for each cause


class OpenCase:
    """One case as it is uncovered. ``looks`` holds the checks made, in order.

    ``used`` is a situation of the same machine and phase that nothing else needs any more: to build one takes longer.
    """

    def __init__(
        self,
        case: Case,
        knowledge: Knowledge,
        signs: tuple[Sign, ...] | None = None,
        used: Situation | None = None,
    ) -> None:
        self.case, self.knowledge = case, knowledge
        self.machine: Machine = machine_of(case, knowledge)
        self.looks: list[Look] = []
        self._best: list[Candidate | None] = []  # worked out once after each look
        self._signs = caution_signs(knowledge) if signs is None else signs
        self._closed = set(case.reported)
        self._named: dict[str, Answer] = dict(reported(case, knowledge))
        told = [_said(name, answer, asked=False) for name, answer in self._named.items() if not answer.cannot_tell]
        others = {
            machine: [_said(name, read_answer(name, text, knowledge), asked=True) for name, text in known.items()]
            for machine, known in case.others.items()
        }
        if used is None or others:
            self.situation = Situation(knowledge, self.machine, case.phase, told, others)
        else:
            self.situation = used
            used.begin_again(told)
        self.first_cautions = tuple(self.situation.cautions())
        self.first_shares = dict(self.situation.ranking())

    @property
    def known(self) -> dict[str, Answer]:
        """What was reported or looked at, in order."""
        return dict(self._named)

    def left(self) -> list[Finding]:
        """Return every finding that this operator could still look at, in the order of the rules."""
        findings = self.knowledge.findings.values()
        return [
            one for one in findings if not one.concluded and one.id not in self._closed and self.situation.askable(one)
        ]

    def best(self) -> Candidate | None:
        """Return the check that the program itself would ask for next; None when none is worth its time."""
        if not self._best:
            self._best.append(best(self.situation, self._signs, frozenset(self._closed)))
        return self._best[0]

    @property
    def settled(self) -> bool:
        """Whether there is nothing more to find: one cause stands out alone, or the rules do not cover this.

        A check that may well show that the machine must be stopped is made in any case.
        """
        return bool(decided(self.situation.belief, self.best()))

    def compare(self, finding: str, rival: Candidate | None) -> Choice:
        """Compare a check with the best one open."""
        chosen = self.knowledge.findings[finding]
        node = node_of(chosen)
        bits = chosen.can_tell * self.situation.gains.get(node, 0.0)
        minutes = ROUND_TRIP + chosen.effort
        first, second = _rivals(self.situation)
        pressing = rival is not None and rival.for_safety
        safety = pressing and rival is not None and rival.finding == finding
        attainable = bits if rival is None or safety else max(bits, rival.worth * minutes)
        apart = (
            self._tells_apart(node, first, second),
            rival is not None and self._tells_apart(rival.node, first, second),
        )
        name = rival.finding if rival else ""
        return Choice(bits, minutes, name, attainable, attainable - bits, (first, second), apart, pressing, safety)

    def look(self, finding: str) -> Look:
        """Look at a finding; everything that tells of the same condition is answered with it."""
        choice = self.compare(finding, None if self.settled else self.best())
        before, odds = set(self.situation.cautions()), self.situation.steps[-1].odds
        answers = answers_of(self.case, finding, self.knowledge, self._named)
        self._closed |= {finding, *answers}
        self._named |= answers
        for name, answer in answers.items():
            if not answer.cannot_tell:
                self.situation.say(_said(name, answer, asked=True))
        self._best.clear()
        after = self.situation.steps[-1].odds
        look = Look(
            finding,
            next(iter(answers.values())),
            choice,
            tuple(one for one in self.situation.cautions() if one not in before),
            dict(self.situation.ranking()),
            {cause: _DECIBANS * (after[cause] - odds[cause]) for cause in after},
        )
        self.looks.append(look)
        return look

    def _tells_apart(self, node: str, first: str, second: str) -> bool:
        table = self.situation.belief.network.findings.get(node)
        if table is None or not second:
            return False
        one, other = (table.given((cause,) if cause else ()) for cause in (first, second))
        return sum(abs(a - b) for a, b in zip(one, other, strict=True)) / 2 >= TELLS_APART


def walk(
    case: Case,
    knowledge: Knowledge,
    most: int,
    signs: tuple[Sign, ...] | None = None,
    used: Situation | None = None,
) -> OpenCase:
    """Return the case as the program's own questions uncover it, with at most so many checks."""
    opened = OpenCase(case, knowledge, signs, used)
    for finding in _own_path(opened, most):
        opened.look(finding)
    return opened


def ambiguity(shares: Mapping[str, float]) -> float:
    """Entropy in bits of the shares brought to a sum of 1: how many causes the evidence leaves open, as a logarithm.

    >>> ambiguity({"a": 0.5, "b": 0.5})
    1.0
    """
    total = sum(shares.values())
    return -sum(share / total * log2(share / total) for share in shares.values() if share > 0)


def _own_path(opened: OpenCase, most: int) -> Iterator[str]:
    while len(opened.looks) < most and not opened.settled:
        candidate = opened.best()
        if candidate is None:
            return
        yield candidate.finding


def _rivals(situation: Situation) -> tuple[str, str]:
    leading = [cause for cause, _ in situation.ranking()[:3] if cause]
    return leading[0] if leading else "", leading[1] if len(leading) > 1 else ""


def _said(finding: str, answer: Answer, *, asked: bool) -> Said:
    return Said(finding, answer.value, answer.number, answer.sure, volunteered=not asked)
