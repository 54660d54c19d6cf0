"""Which question next: what can settle a stop first, then the greatest expected gain per minute.

Hazard is a gate, not a cost: only questions that are the operator's to answer, on this machine and in this phase,
are candidates; the rest are referred.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from heapq import nlargest
from typing import TYPE_CHECKING, NamedTuple

from diagnose.knowledge.model import AnyOf, Holds
from diagnose.reasoning.compile import fits
from diagnose.reasoning.grading import holds

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.belief import Belief
    from diagnose.knowledge.model import Condition, Finding, Knowledge
    from diagnose.reasoning.situation import Situation

__all__ = ["Candidate", "best", "candidates", "caution_signs", "decided", "ends", "first_of", "referred"]

WORTH_ASKING = 0.02  # bits: below this a question cannot pay for itself (diagnosis literature, stopping rule c)
ROUND_TRIP = 2.0  # minutes that any question costs besides its own effort: to walk there, come back and answer
STOP_CHANCE = 0.15  # a stop sign less likely than this is not worth an extra question before the telling ones
WARN_CHANCE = 0.50  # once the cause is known, a caution likelier than not is worth the question that would raise it
NEARLY = 0.50  # from here on an answer may settle the matter, and looking ahead to that pays
LOOK_AHEAD = 4
ENOUGH = 0.90  # the top cause is settled at this probability ...
UNLIKELY = 0.20  # ... when every other cause is below this
NOT_COVERED = 0.60


class Sign(NamedTuple):
    """What a rule that raises cautions waits for, where and when it holds; ``stop``: one of them stops the machine."""

    conditions: tuple[Condition, ...]
    phases: frozenset[str]
    needs: frozenset[str]
    lacks: frozenset[str]
    cautions: frozenset[str]
    stop: bool


@dataclass(frozen=True, slots=True)
class Candidate:
    """A question that may be asked: the finding to put, the node of the network it bears on, and its worth."""

    finding: str
    node: str
    bits: float
    stop_chance: float
    warn_chance: float  # that its answer raises another caution, not in force yet; looked at when the cause is known
    worth: float  # bits per minute, times the chance that it can be answered
    sent: bool = False  # a caution in force sends the operator to look at it

    @property
    def for_safety(self) -> bool:
        """Whether it is asked in any case: a caution sends one to it, or it may show a stop or a likely danger."""
        return self.sent or self.stop_chance >= STOP_CHANCE or self.warn_chance >= WARN_CHANCE


def best(
    situation: Situation, signs: tuple[Sign, ...], closed: frozenset[str], later: tuple[str, ...] = ()
) -> Candidate | None:
    """Return the question to put next; None when none is worth its cost.

    ``closed`` are findings answered or that cannot be told; ``later`` those skipped: they come when nothing else does.
    Once the cause is known, what would still raise a caution is asked, the likeliest first.
    """
    everything = list(candidates(situation, signs, closed))
    if all(one.stop_chance < STOP_CHANCE for one in everything):
        looked_at = next(_sent_to_look_at(situation, everything, closed.union(later)), None)
        if looked_at:
            return looked_at
        warning = [one for one in everything if one.warn_chance >= WARN_CHANCE and one.finding not in later]
        if warning:  # the chance is looked at only when the cause is known
            return max(warning, key=lambda one: one.warn_chance)
    worthy = [one for one in everything if one.bits >= WORTH_ASKING or one.stop_chance >= STOP_CHANCE]
    now = [one for one in worthy if one.finding not in later] or worthy
    return first_of(situation.belief, now)


def first_of(belief: Belief, questions: Iterable[Candidate]) -> Candidate | None:
    """Return the question to put before the others; None when there are none."""
    first = sorted(questions, key=_precedence, reverse=True)[:LOOK_AHEAD]
    leading = nlargest(LOOK_AHEAD, belief.marginals().items(), key=lambda item: item[1])
    if len(first) > 1 and leading[0][1] >= NEARLY:
        first.sort(key=lambda one: (one.stop_chance >= STOP_CHANCE, _settling(belief, one, leading)), reverse=True)
    return first[0] if first else None


def _settling(belief: Belief, candidate: Candidate, leading: list[tuple[str, float]]) -> float:
    """Return the worth of a question with a bit more for the chance that its answer settles the matter.

    A gain alone does not look ahead to where questioning stops. The posterior of each leading cause after an answer
    is taken from its share now and from what it alone would show: near enough to choose between close candidates.
    """
    table = belief.network.findings[candidate.node]
    alone = [(share, table.said(table.given((cause,)))) for cause, share in leading]
    predicted = belief.predict(candidate.node)
    chance = 0.0
    for at, value in enumerate(table.values):
        likely = predicted[value]
        first, *others = sorted((share * said[at] / likely for share, said in alone), reverse=True)
        if first >= ENOUGH and all(other < UNLIKELY for other in others):
            chance += likely
    return candidate.worth * (candidate.bits + chance) / candidate.bits if candidate.bits else 0.0


def decided(belief: Belief, candidate: Candidate | None) -> str:
    """Return how questions end by the beliefs alone: settled, not-covered, or "" while more must be learnt.

    A candidate that may well show that the machine must be stopped, or raise another caution, is asked in any case.
    """
    if candidate is not None and candidate.for_safety:
        return ""
    return ends(belief.marginals().values(), belief.not_listed)


def ends(shares: Iterable[float], not_listed: float) -> str:
    """Return how these shares of the causes would end the questions, no stop being in doubt.

    Settled: one cause stands out, and a second fault or something not listed is unlikely.
    """
    if not_listed >= NOT_COVERED:
        return "not-covered"
    first, second = nlargest(2, [*shares, 0.0, 0.0])
    return "settled" if first >= ENOUGH and second < UNLIKELY and not_listed < UNLIKELY else ""


def _sent_to_look_at(situation: Situation, among: list[Candidate], closed: frozenset[str]) -> Iterator[Candidate]:
    """Yield what the cautions in force send the operator to look at and nobody has looked at yet."""
    findings, worth = situation.knowledge.findings, {one.finding: one for one in among}
    for caution in situation.cautions():
        for name in situation.knowledge.cautions[caution].look_at:
            if name not in closed and situation.askable(findings[name]):
                yield replace(worth.get(name) or Candidate(name, "", 0.0, 0.0, 0.0, 0.0), sent=True)


def _known(belief: Belief) -> bool:
    """Tell whether nothing more need be asked for the cause's sake: from then on other cautions count."""
    return bool(ends(belief.marginals().values(), belief.not_listed))


def _precedence(candidate: Candidate) -> tuple[bool, float]:
    stops = candidate.stop_chance >= STOP_CHANCE
    return stops, candidate.worth


def candidates(situation: Situation, signs: tuple[Sign, ...], closed: frozenset[str]) -> Iterator[Candidate]:
    """Yield every question that could be put now, with its worth."""
    findings = situation.knowledge.findings
    stops = _signs_now(situation, (sign for sign in signs if sign.stop))
    raised = frozenset(situation.cautions())
    others = (sign for sign in signs if not sign.stop and not sign.cautions <= raised)
    warns = _signs_now(situation, others if _known(situation.belief) else ())
    for node, bits in situation.gains.items():
        finding = _question_of(situation, findings[node], closed)
        if finding is None:
            continue
        shares = situation.belief.predict(node) if node in stops or node in warns else {}
        stop_chance, warn_chance = (
            sum(shares.get(value, 0.0) for value in found.get(node, ())) for found in (stops, warns)
        )
        minutes = ROUND_TRIP + finding.effort
        yield Candidate(finding.id, node, bits, stop_chance, warn_chance, finding.can_tell * bits / minutes)


def referred(situation: Situation, closed: frozenset[str]) -> list[tuple[Finding, float]]:
    """Return the checks that would tell something but are not the operator's, with their bits, best first."""
    findings = situation.knowledge.findings
    rows = [
        (findings[node], bits)
        for node, bits in situation.gains.items()
        if findings[node].who != "operator" and node not in closed and bits >= WORTH_ASKING
    ]
    return sorted(rows, key=lambda row: -row[1])


def _question_of(situation: Situation, node: Finding, closed: frozenset[str]) -> Finding | None:
    """Return the finding whose question settles the node: itself, or the first open one it is judged from."""
    if not node.concluded:
        return node if node.id not in closed and situation.askable(node) else None
    findings = situation.knowledge.findings
    for name in node.judged_from:
        if name not in closed and situation.askable(findings[name]):
            return findings[name]
    numbers = [name for name in node.judged_from if name in situation.said and situation.said[name].number is not None]
    if numbers and node.id not in closed:  # a number that no limit of this machine can judge: ask it in words
        return node
    return None


def caution_signs(knowledge: Knowledge) -> tuple[Sign, ...]:
    """Return what each rule that raises a caution waits for."""
    return tuple(
        Sign(
            rule.when + ((Holds(rule.symptom[0], (rule.symptom[1],)),) if rule.symptom else ()),
            rule.phases,
            rule.needs,
            rule.lacks,
            frozenset(rule.cautions),
            stop=any(knowledge.cautions[name].rank == "stop-now" for name in rule.cautions),
        )
        for rule in knowledge.rules.values()
        if rule.cautions
    )


def _signs_now(situation: Situation, signs: Iterable[Sign]) -> Mapping[str, frozenset[str]]:
    """Return finding -> the values that would raise a caution by what is known already.

    A rule that waits for one thing makes that a sign; one that waits for several does when all others hold.
    """
    found: dict[str, frozenset[str]] = {}
    features, known = situation.machine.features, cache(situation.values)  # many signs wait for the same
    for sign in signs:
        if situation.phase in sign.phases and fits(sign.needs, sign.lacks, features):
            waits = (one for one in sign.conditions if not holds(one, situation.machine, known))
            first, second = next(waits, None), next(waits, None)
            for attribute, values in _told(first) if first is not None and second is None else ():
                found[attribute] = found.get(attribute, frozenset()) | set(values)
    return found


def _told(condition: Condition) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the findings and values of which any one would make the condition hold."""
    if isinstance(condition, Holds):
        yield condition.attribute, condition.values
    elif isinstance(condition, AnyOf):
        for inner in condition.conditions:
            yield from _told(inner)
