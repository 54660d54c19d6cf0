"""Counts from closed jobs made into proposals: the frequency as it is, as it would be, on how much, and how sure.

How common a cause is: its stated share ``m`` of jobs is believed like having met it ``FIRMNESS`` times (once) in
``FIRMNESS / m`` jobs, and the jobs of this site are added to that: a Beta count. How often a cause shows a value: the
rules' own prediction of the answer, errors included, is believed like ``OCCASIONS`` occasions; the new prediction is
then traced back to the frequency that yields it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from diagnose.belief.learning import learnt

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose import belief
    from diagnose.journal.closed_jobs import Counts, Link
    from diagnose.knowledge.model import Knowledge
    from diagnose.values.problem import Place

__all__ = ["LEAST_JOBS", "LEAST_OCCASIONS", "Proposal", "proposals", "warnings"]

LEAST_JOBS = 10  # nothing about how common a cause is moves on fewer closed jobs
LEAST_OCCASIONS = 8  # nothing about a frequency moves on fewer answers
FIRMNESS = 1.0
OCCASIONS = 10.0
_EXPECTED_UNSEEN = 3.0  # a cause never met counts as rarer once this many were to be expected
_BOUNDS = (0.004, 0.985)  # the ends of the shipped scale: a count proves nothing either way
_ALWAYS_AGREES = 0.95
_ENOUGH_TO_JUDGE = 20


@dataclass(frozen=True, slots=True)
class Proposal:
    """One frequency to move. ``rule`` is empty for how common the cause is; ``place`` is where the word stands.

    ``old``, ``new`` and ``interval`` are shares of jobs (how common) or of answers (frequency); ``number`` is what is
    to stand on the scale: a weight, or a frequency.
    """

    cause: str
    rule: str
    finding: str
    value: str
    word: str
    old: float
    new: float
    seen: int
    count: int
    interval: tuple[float, float]
    number: float
    place: Place


def proposals(counts: Counts, knowledge: Knowledge) -> tuple[Proposal, ...]:
    """Return what the counts propose, causes first, in the order of the rules; nothing on too few jobs."""
    if counts.jobs < LEAST_JOBS:
        return ()
    return (*_how_common(counts, knowledge), *_frequencies(counts, knowledge))


def _how_common(counts: Counts, knowledge: Knowledge) -> Iterator[Proposal]:
    for name, cause in knowledge.causes.items():
        jobs, met = counts.possible[name], counts.confirmed[name]
        if jobs < LEAST_JOBS or not (met or counts.expected[name] >= _EXPECTED_UNSEEN):
            continue
        share = counts.expected[name] / jobs
        moved = learnt(share, FIRMNESS / share, met, jobs - met)
        weight = knowledge.scales.how_common[cause.how_common] * moved.new / share
        yield Proposal(
            cause=name,
            rule="",
            finding="",
            value="",
            word=cause.how_common,
            old=share,
            new=moved.new,
            seen=met,
            count=jobs,
            interval=moved.interval,
            number=weight,
            place=cause.place,
        )


def _frequencies(counts: Counts, knowledge: Knowledge) -> Iterator[Proposal]:
    for rule in knowledge.rules.values():
        for link in rule.links:
            key = (rule.id, link.cause)
            if counts.asked[key] >= LEAST_OCCASIONS and rule.symptom:
                yield _frequency(key, link.word, rule.symptom, link.place, counts)


def _frequency(key: Link, word: str, symptom: tuple[str, str], place: Place, counts: Counts) -> Proposal:
    table, asked, seen = counts.tables[key], counts.asked[key], counts.seen[key]
    link = (key[1], symptom[1])
    old = _predicted(table, link, table.links[link])
    moved = learnt(old, OCCASIONS, seen, asked - seen)
    return Proposal(
        cause=key[1],
        rule=key[0],
        finding=symptom[0],
        value=symptom[1],
        word=word,
        old=old,
        new=moved.new,
        seen=seen,
        count=asked,
        interval=moved.interval,
        number=_traced_back(table, link, moved.new),
        place=place,
    )


def _predicted(table: belief.Table, link: tuple[str, str], frequency: float) -> float:
    """Return how often the value is answered when the cause alone is present and shows it this often."""
    changed = replace(table, links={**table.links, link: frequency})
    return changed.said(changed.given((link[0],)))[changed.values.index(link[1])]


def _traced_back(table: belief.Table, link: tuple[str, str], predicted: float) -> float:
    """Return the frequency under which the value is answered this often, by halving; within the scale's ends."""
    low, high = _BOUNDS
    for _ in range(40):
        middle = (low + high) / 2
        if _predicted(table, link, middle) < predicted:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def warnings(counts: Counts) -> tuple[str, ...]:
    """Return what a planner must know before accepting anything."""
    said = [f"{number} left out: {reason}." for reason, number in sorted(counts.left_out.items())]
    if counts.jobs < LEAST_JOBS:
        said.append(f"{counts.jobs} closed jobs can count; nothing is moved on fewer than {LEAST_JOBS}.")
    if counts.jobs >= _ENOUGH_TO_JUDGE and counts.agreed >= _ALWAYS_AGREES * counts.jobs:
        said.append(
            f"In {counts.agreed} of {counts.jobs} jobs the cause recorded is the one this program had ranked first. "
            "Make sure that maintenance looked for itself: a ranking must not learn from its own echo."
        )
    return tuple(said)
