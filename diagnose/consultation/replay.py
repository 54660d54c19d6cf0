"""A case put through a consultation, its answers given as an operator would give them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from diagnose.consultation import events
from diagnose.consultation.events import Answer, Event, Intent
from diagnose.consultation.session import Session
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.consultation.view import ActionRow, View
    from diagnose.knowledge.model import Case, Finding, Knowledge, Machine

__all__ = ["MOST_QUESTIONS", "Outcome", "machine_of", "replay"]

MOST_QUESTIONS = 8


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a replayed case came to.

    ``rank`` is the worst rank of the true causes (the not-listed row counts as a row); 0 when one is not ranked at
    all. ``complaints`` tells why it did not pass, in lines.
    """

    case: str
    rank: int
    posterior: float
    ranking: tuple[tuple[str, float], ...]
    questions: tuple[str, ...]
    cautions: tuple[str, ...]
    refer: tuple[str, ...]
    standing: str
    passed: bool
    complaints: tuple[str, ...]
    events: tuple[Event, ...]
    actions: tuple[ActionRow, ...] = ()  # what stood to be done at the end


def machine_of(case: Case, knowledge: Knowledge) -> Machine:
    """Return the machine a case is about: the profile it carries, or one of the site's."""
    machine = case.profile or knowledge.site.machines.get(case.machine)
    if machine is None:
        mend = did_you_mean(case.machine, knowledge.site.machines)
        raise DiagnoseError(f"Case '{case.id}' is about machine '{case.machine}', which this site lacks.", mend=mend)
    return machine


def replay(case: Case, knowledge: Knowledge, most_questions: int = MOST_QUESTIONS) -> Outcome:
    """Run a case to its end, asking at most so many questions (and no more than the case allows).

    A stop caution does not end the questions here: the machine would be stopped and the search for the cause go on.
    """
    most_questions = min(most_questions, case.expect.within_questions)
    kept: list[Event] = []
    session = Session(knowledge, machine_of(case, knowledge), case.phase, kept.append)
    raised: dict[str, None] = {}
    view = session.view()
    for intent in (*_others(case, knowledge), *_reported(case, session)):
        view = session.do(intent)
        raised.update(dict.fromkeys(row.caution for row in view.cautions))
    questions: list[str] = []
    while len(questions) < most_questions:
        if view.standing == "stop-caution":
            view = session.do(events.GoOn())
        if view.question is None or session.decided:
            break
        questions.append(view.question.finding)
        for intent in _answers_to(view.question.finding, case, session):
            view = session.do(intent)
            raised.update(dict.fromkeys(row.caution for row in view.cautions))
    return _outcome(case, session, view, tuple(questions), tuple(raised), tuple(kept))


def _reported(case: Case, session: Session) -> Iterator[Intent]:
    for finding, text in case.reported.items():
        yield events.Report(finding, session.understand(finding, text))


def _others(case: Case, knowledge: Knowledge) -> Iterator[Intent]:
    from diagnose.consultation.understand import understand

    for machine, known in case.others.items():
        for name, text in known.items():
            finding = knowledge.findings[name]
            words = knowledge.findings[finding.judged_as] if finding.reading and finding.judged_as else None
            yield events.OtherMachine(machine, name, understand(text, finding, words)[0])


def _answers_to(name: str, case: Case, session: Session) -> Iterable[Intent]:
    """Return what the case says to a question: its own answer, what it says of the same condition, or the rest."""
    findings = session.knowledge.findings
    told = {**case.answers, **case.reported}
    said = session.state.said
    related = [one for one in _related(findings[name], findings) if one in told and one not in said]
    if related:
        return [events.Report(one, session.understand(one, told[one])) for one in related]
    if case.unlisted == "unknown":
        return [events.CannotTell(name)]
    finding = findings[name]
    worded = findings[finding.judged_as] if finding.reading and finding.judged_as else finding
    return [events.Report(name, Answer(value=worded.normal, typed=worded.normal))]


def _related(finding: Finding, findings: Mapping[str, Finding]) -> list[str]:
    """Return the finding and all that tells of the same condition."""
    condition = finding.id if finding.concluded else finding.judged_as
    if not condition:
        return [finding.id]
    return list(dict.fromkeys((finding.id, condition, *findings[condition].judged_from)))


def _outcome(
    case: Case,
    session: Session,
    view: View,
    questions: tuple[str, ...],
    raised: tuple[str, ...],
    kept: tuple[Event, ...],
) -> Outcome:
    ranking = tuple(session.ranking)
    names = [cause for cause, _ in ranking]
    accepted = [case.true_causes or frozenset([""]), *case.accept]
    ranks = [_worst_rank(names, causes) for causes in accepted]
    rank = min((one for one in ranks if one), default=0)
    truth = accepted[ranks.index(rank)] if rank else accepted[0]
    shares = dict(ranking)
    complaints = tuple(_complaints(case, rank, raised, view, names, accepted))
    return Outcome(
        case=case.id,
        rank=rank,
        posterior=min(shares.get(cause, 0.0) for cause in truth),
        ranking=ranking,
        questions=questions,
        cautions=raised,
        refer=view.refer,
        standing=view.standing,
        passed=not complaints,
        complaints=complaints,
        events=kept,
        actions=view.actions,
    )


def _worst_rank(names: list[str], causes: frozenset[str]) -> int:
    """Return the worst rank of these causes among themselves and the wrong ones; two right ones may lead as 1 and 2."""
    if any(cause not in names for cause in causes):
        return 0
    return max(names.index(cause) + 1 for cause in causes) - (len(causes) - 1)


def _complaints(
    case: Case, rank: int, raised: tuple[str, ...], view: View, names: list[str], accepted: list[frozenset[str]]
) -> Iterator[str]:
    if not rank:
        missing = sorted(cause for cause in accepted[0] if cause not in names)
        yield f"not ranked at all: {', '.join(missing)}"
    elif rank > case.expect.rank:
        yield f"true cause has rank {rank}, expected {case.expect.rank} or better"
    for caution in sorted(case.must_caution - set(raised)):
        yield f"caution missed: {caution}"
    for caution in sorted(case.must_not_caution & set(raised)):
        yield f"caution raised in error: {caution}"
    if view.contradictions:
        yield f"contradictory answers on {view.contradictions[0].condition.lower()}"
