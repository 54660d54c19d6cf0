"""Closed jobs made into counts: how often each cause was confirmed, and how often it showed what was asked for."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from diagnose.consultation.events import Answered
from diagnose.consultation.state import fold
from diagnose.journal.conclusions import latest_conclusion
from diagnose.journal.finding import Wanted, find
from diagnose.journal.outcomes import Outcome, standing_outcome
from diagnose.journal.replaying import Held, held
from diagnose.reasoning.situation import Said, Situation
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from diagnose import belief
    from diagnose.journal.store import Journal
    from diagnose.knowledge.model import Knowledge, Rule

__all__ = ["Counts", "Job", "Link", "closed_jobs", "counted"]

Link = tuple[str, str]  # the rule and the cause whose frequency it is


@dataclass(frozen=True, slots=True)
class Job:
    """A closed job: the consultation, what was confirmed, and the cause that the program had ranked first."""

    held: Held
    outcome: Outcome
    ranked_first: str


@dataclass(slots=True)
class Counts:
    """What closed jobs show.

    ``possible`` and ``confirmed`` count, for each cause, the jobs in which it could have been and was the cause;
    ``expected`` sums the shares that the rules gave it beforehand. ``asked`` and ``seen`` count, for each link, the
    jobs of that cause alone in which the link's finding was asked for, and those in which its value was answered.
    ``tables`` holds one table of the finding in force for each link.
    """

    jobs: int = 0
    left_out: Counter[str] = field(default_factory=Counter)  # by reason
    agreed: int = 0  # jobs whose confirmed cause the program had ranked first
    possible: Counter[str] = field(default_factory=Counter)
    confirmed: Counter[str] = field(default_factory=Counter)
    expected: dict[str, float] = field(default_factory=dict)
    asked: Counter[Link] = field(default_factory=Counter)
    seen: Counter[Link] = field(default_factory=Counter)
    tables: dict[Link, belief.Table] = field(default_factory=dict)


def closed_jobs(journal: Journal) -> Iterator[Job]:
    """Yield every closed consultation, oldest first."""
    for run in reversed(list(find(journal, Wanted(closed=True)))):
        standing = standing_outcome(journal, run.run)
        concluded = latest_conclusion(journal, run.run)
        if standing:
            first = concluded["ranking"][0][0] if concluded and concluded["ranking"] else ""
            yield Job(held(journal, run.run), standing[1], first)


def counted(jobs: Iterable[Job], knowledge: Knowledge) -> Counts:
    """Count jobs under these rules; those that cannot count are left out with their reason."""
    counts = Counts()
    for job in jobs:
        reason = _unfit(job, knowledge)
        if reason:
            counts.left_out[reason] += 1
        else:
            _count(job, knowledge, counts)
    return counts


def _unfit(job: Job, knowledge: Knowledge) -> str:
    causes = job.outcome.causes
    if not causes:
        return "no cause of the rules was named"
    if job.outcome.known_by == "assumed":
        return "taken from the program's own ranking"
    if job.held.machine not in knowledge.site.machines or any(cause not in knowledge.causes for cause in causes):
        return "machine or cause no longer in the rules"
    return ""


def _count(job: Job, knowledge: Knowledge, counts: Counts) -> None:
    try:
        situation = _situation(job.held, knowledge)
    except (DiagnoseError, KeyError):  # a finding that the rules no longer hold
        counts.left_out["answers no longer in the rules"] += 1
        return
    counts.jobs += 1
    counts.agreed += job.ranked_first in job.outcome.causes
    weights = {name: knowledge.scales.how_common[cause.how_common] for name, cause in situation.causes.items()}
    total = sum(weights.values())
    for name, weight in weights.items():
        counts.possible[name] += 1
        counts.expected[name] = counts.expected.get(name, 0.0) + weight / total
    counts.confirmed.update(cause for cause in job.outcome.causes if cause in weights)
    if len(job.outcome.causes) == 1 and job.outcome.causes[0] in weights:
        _count_links(job, situation, counts)


def _situation(consultation: Held, knowledge: Knowledge) -> Situation:
    state = fold(consultation.events)
    said = [Said(name, one.value, one.number, one.sure) for name, one in state.said.items() if not one.cannot_tell]
    return Situation(knowledge, knowledge.site.machines[consultation.machine], state.phase, said)


def _count_links(job: Job, situation: Situation, counts: Counts) -> None:
    """Count what the one cause showed, from answers to questions only: what was reported first is never normal."""
    cause = job.outcome.causes[0]
    tables = situation.belief.network.findings
    for node in _asked_nodes(job.held, situation):
        values = situation.values(node)
        table = tables.get(node)
        if table is None or len(values) != 1:
            continue
        for rule in _deciding(node, cause, table, situation):
            link = (rule.id, cause)
            counts.tables[link] = table
            counts.asked[link] += 1
            counts.seen[link] += rule.symptom is not None and rule.symptom[1] in values


def _asked_nodes(consultation: Held, situation: Situation) -> Iterator[str]:
    state = fold(consultation.events)
    findings = situation.knowledge.findings
    for event in consultation.events:
        if isinstance(event, Answered) and not event.machine and event.finding in state.asked:
            answer = state.said[event.finding]
            if answer == event.answer and answer.sure and not answer.cannot_tell:
                finding = findings[event.finding]
                yield finding.judged_as if finding.reading and finding.judged_as else finding.id


def _deciding(node: str, cause: str, table: belief.Table, situation: Situation) -> Iterator[Rule]:
    """Yield, for each abnormal value of the node, the rule in force whose frequency the table took for this cause."""
    found: dict[str, Rule] = {}
    for rule in situation.in_force():
        if rule.symptom and rule.symptom[0] == node:
            value = rule.symptom[1]
            if any(link.cause == cause and link.probability == table.links.get((cause, value)) for link in rule.links):
                found[value] = rule
    yield from found.values()
