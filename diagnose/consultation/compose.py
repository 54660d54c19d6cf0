"""The view put together from what has been said and what follows."""

from __future__ import annotations

import itertools
from math import e, log10
from typing import TYPE_CHECKING

from diagnose.consultation.next_question import Candidate, referred
from diagnose.consultation.saying import answer_words, preferred_unit, titled, usual_words
from diagnose.consultation.view import (
    ActionRow,
    AnsweredRow,
    CauseRow,
    CautionRow,
    Choice,
    Contradiction,
    Question,
    ReferredCheck,
    View,
    Weight,
    WhyAsked,
)
from diagnose.consultation.wording import plain, probability_words
from diagnose.knowledge.model import RANKS, Action, Finding, Knowledge, Machine

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from diagnose.consultation.state import State
    from diagnose.reasoning.situation import Situation

__all__ = ["compose", "question_for"]

WORTH_SHOWING = 0.01
MOST_ROWS = 8
WORTH_PREPARING = 0.15  # a cause at least this likely has its put-right actions listed
REFER_NOT_COVERED = 0.30
REFER_CONFLICT_AFTER = 3
UNSETTLED = 0.50
WORTH_NAMING = 0.20  # a cause less likely than this is not named over the radio
_DECIBANS = 10 * log10(e)
_NOT_COVERED = "Something these rules do not cover"


def compose(state: State, situation: Situation, standing: str, candidate: Candidate | None, asked: str) -> View:
    """Return the whole view. ``asked`` is the finding of the open question; "" when none is open."""
    knowledge, machine = situation.knowledge, situation.machine
    ranking = _ranking(situation)
    cautions = _cautions(situation, state)
    actions = tuple(_actions(situation, ranking))
    refer = tuple(_refer(situation, ranking, standing))
    return View(
        machine=machine.id,
        machine_title=machine.title,
        phase=state.phase,
        question=question_for(asked, situation, candidate) if asked else None,
        standing=standing,
        ranking=ranking,
        cautions=cautions,
        answered=tuple(_answered(state, situation)),
        actions=actions,
        procedures=_procedures(cautions, actions),
        contradictions=tuple(_contradictions(state, situation)),
        referred=_referred(state, situation),
        refer=refer,
        conflict=situation.belief.conflict(),
        put_right=tuple(knowledge.causes[name].title for name in state.put_right),
        supervisor=_supervisor(state, situation, ranking, cautions, actions),
        revision=knowledge.revision,
    )


def question_for(name: str, situation: Situation, candidate: Candidate | None = None) -> Question:
    """Return any finding as a question; what it would tell is filled in for the candidate that was chosen."""
    knowledge = situation.knowledge
    finding = knowledge.findings[name]
    worded = _worded(finding, knowledge)
    posed = knowledge.findings[finding.judged_from[0]] if finding.concluded and finding.judged_from else finding
    return Question(
        finding=name,
        ask=posed.ask or f"{titled(finding)}?",
        how=posed.how,
        hazard=posed.hazard,
        minutes=posed.effort,
        choices=tuple(Choice(value, _value_words(value), normal) for value, normal in worded.values.items()),
        unit=preferred_unit(finding, knowledge) or (finding.reading.unit if finding.reading else ""),
        usual=usual_words(finding, situation.machine, knowledge),
        why=_why(situation, finding, candidate),
    )


def _worded(finding: Finding, knowledge: Knowledge) -> Finding:
    """Return the finding whose values may be said in words: the condition that a reading is judged as, or itself."""
    return knowledge.findings[finding.judged_as] if finding.reading and finding.judged_as else finding


def _value_words(value: str) -> str:
    return {"true": "yes", "false": "no"}.get(value, plain(value))


def _why(situation: Situation, finding: Finding, candidate: Candidate | None) -> WhyAsked:
    if candidate is None or candidate.finding != finding.id or not candidate.node:
        return WhyAsked(settles_stop=False, separates=(), bits=0.0, minutes=finding.effort, expected=())
    shares = situation.belief.predict(candidate.node)
    expected = tuple((_value_words(value), share) for value, share in shares.items())
    parents = {
        link.cause
        for rule in situation.in_force()
        if rule.symptom and rule.symptom[0] == candidate.node
        for link in rule.links
    }
    likely = [cause for cause, share in situation.ranking() if cause and share >= WORTH_SHOWING][:MOST_ROWS]
    told_apart = [cause for cause in likely if cause in parents] + [cause for cause in likely if cause not in parents]
    return WhyAsked(
        settles_stop=candidate.stop_chance > 0,
        separates=tuple(situation.knowledge.causes[cause].title for cause in told_apart[:3]),
        bits=candidate.bits,
        minutes=finding.effort,
        expected=expected,
    )


def _ranking(situation: Situation) -> tuple[CauseRow, ...]:
    rows = situation.ranking()
    shown = [row for row in rows if row[1] >= WORTH_SHOWING or not row[0]][:MOST_ROWS]
    if ("" not in dict(shown)) and rows:
        shown.append(("", dict(rows)[""]))
    return tuple(_row(situation, cause, share) for cause, share in shown)


def _row(situation: Situation, name: str, share: float) -> CauseRow:
    if not name:
        return CauseRow("", _NOT_COVERED, share, probability_words(share), "", "", (), "", "", "")
    cause = situation.knowledge.causes[name]
    return CauseRow(
        cause=name,
        title=cause.title,
        probability=share,
        words=probability_words(share),
        severity=cause.severity,
        subsystem=cause.subsystem,
        weights=tuple(_weights(situation, name)),
        if_left=cause.if_left,
        settled_by=cause.settled_by,
        source=_cited(cause.source, situation.knowledge),
        led_by=_led_by(situation, name),
    )


def _led_by(situation: Situation, name: str) -> tuple[str, ...]:
    causes = situation.knowledge.causes
    return tuple(
        causes[other].title
        for other, share in situation.ranking()
        if share >= WORTH_SHOWING and other and any(link.cause == name for link in causes[other].leads_to)
    )


def _cited(source: str, knowledge: Knowledge) -> str:
    """Return a source with the full title of a document that the rules call by a short name."""
    name, comma, clause = source.partition(",")
    title = knowledge.sources.get(name.strip())
    return f"{title}{comma}{clause}" if title else source


def _weights(situation: Situation, cause: str) -> Iterable[Weight]:
    steps = situation.steps
    for before, step in itertools.pairwise(steps):
        said = " / ".join(sorted(_value_words(str(value)) for value in situation.values(step.node)))
        yield Weight(step.node, said, _DECIBANS * (step.odds[cause] - before.odds[cause]))


def _cautions(situation: Situation, state: State) -> tuple[CautionRow, ...]:
    rows = [_caution(situation, state, name) for name in situation.cautions()]
    return tuple(sorted(rows, key=lambda row: RANKS.index(row.rank)))


def _caution(situation: Situation, state: State, name: str) -> CautionRow:
    knowledge = situation.knowledge
    caution = knowledge.cautions[name]
    rests = situation.rests_on("caution", name)
    because = tuple(
        f"{titled(finding)}: {answer_words(finding, state.said[finding.id], knowledge)}"
        for finding in (knowledge.findings[name] for name in state.said)
        if finding.id in rests or finding.judged_as in rests
    )
    return CautionRow(
        caution=name,
        rank=caution.rank,
        say=caution.say,
        do=caution.do,
        procedure=_procedure(caution.procedure, situation.machine),
        because=because,
        source=_cited(caution.source, knowledge),
    )


def _procedure(name: str, machine: Machine) -> str:
    number = machine.procedures.get(name)
    return f"{name} ({number})" if number else name


def _actions(situation: Situation, ranking: tuple[CauseRow, ...]) -> Iterable[ActionRow]:
    """Yield actions once each: those of the rules that hold, then those that put the likely causes right."""
    seen: set[tuple[str, str]] = set()
    sources: list[tuple[str, tuple[Action, ...]]] = [(plain(rule.id), rule.actions) for rule in situation.applying()]
    causes = situation.knowledge.causes
    sources += [
        (causes[row.cause].title, causes[row.cause].put_right)
        for row in ranking
        if row.cause and row.probability >= WORTH_PREPARING
    ]
    for comes_from, actions in sources:
        for action in actions:
            if (action.who, action.do) not in seen:
                seen.add((action.who, action.do))
                yield ActionRow(action.who, action.do, _procedure(action.procedure, situation.machine), comes_from)


def _answered(state: State, situation: Situation) -> Iterable[AnsweredRow]:
    knowledge = situation.knowledge
    for name, answer in state.said.items():
        finding = knowledge.findings[name]
        judged = ""
        if answer.number is not None and finding.judged_as:
            judged = " / ".join(sorted(_value_words(str(value)) for value in situation.values(finding.judged_as)))
        said = answer_words(finding, answer, knowledge)
        yield AnsweredRow(name, finding.ask or titled(finding), said, judged, answer.sure, answer.cannot_tell, "")
    for machine, known in state.others.items():
        for name, answer in known.items():
            finding = knowledge.findings[name]
            said = answer_words(finding, answer, knowledge)
            yield AnsweredRow(name, finding.ask or titled(finding), said, "", answer.sure, answer.cannot_tell, machine)


def _procedures(cautions: tuple[CautionRow, ...], actions: tuple[ActionRow, ...]) -> tuple[str, ...]:
    named = [row.procedure for row in cautions] + [row.procedure for row in actions]
    return tuple(dict.fromkeys(name for name in named if name))


def _contradictions(state: State, situation: Situation) -> Iterable[Contradiction]:
    knowledge = situation.knowledge
    for condition in situation.contradictions():
        said = tuple(
            f"{titled(knowledge.findings[name])}: {answer_words(knowledge.findings[name], answer, knowledge)}"
            for name, answer in state.said.items()
            if condition in (name, knowledge.findings[name].judged_as)
        )
        yield Contradiction(titled(knowledge.findings[condition]), said)


def _referred(state: State, situation: Situation) -> tuple[ReferredCheck, ...]:
    rows = referred(situation, frozenset(state.said))[:3] if state.said else []
    return tuple(ReferredCheck(finding.id, finding.ask, finding.who, bits) for finding, bits in rows)


def _refer(situation: Situation, ranking: tuple[CauseRow, ...], standing: str) -> Iterable[str]:
    """Yield the codes of every reason to refer to the supervisor."""
    shares: Mapping[str, float] = {row.cause: row.probability for row in ranking}
    threshold = situation.knowledge.scales.caution_threshold
    if any(row.severity == "dangerous" and row.probability >= threshold for row in ranking):
        yield "dangerous-cause"
    if shares.get("", 0.0) >= REFER_NOT_COVERED:
        yield "not-covered"
    if situation.belief.conflict() > 0 and len(situation.steps) > REFER_CONFLICT_AFTER:
        yield "conflict"
    listed = max((row.probability for row in ranking if row.cause), default=0.0)
    if standing != "asking" and listed < UNSETTLED:
        yield "unsettled"


def _supervisor(
    state: State,
    situation: Situation,
    ranking: tuple[CauseRow, ...],
    cautions: tuple[CautionRow, ...],
    actions: tuple[ActionRow, ...],
) -> tuple[str, str, str]:
    """Return three lines to read over the radio: what is seen, what is likely, what is asked for."""
    knowledge = situation.knowledge
    abnormal = [
        f"{plain(name)} {answer_words(knowledge.findings[name], answer, knowledge)}"
        for name, answer in state.said.items()
        if not answer.cannot_tell and not _is_normal(situation, name, answer.value)
    ]
    name = f"{situation.machine.id}, {situation.machine.title}" if situation.machine.title else situation.machine.id
    seen = f"{name}, {plain(state.phase)}: {'; '.join(abnormal[:4]) or 'nothing abnormal reported'}."
    likely = [f"{row.title.rstrip('.')} ({row.probability:.0%})" for row in ranking if row.probability >= WORTH_NAMING]
    named = f"Most likely: {', then '.join(likely[:2])}." if likely else "What causes it is not known yet."
    return seen, named, _wanted(cautions, actions)


def _wanted(cautions: tuple[CautionRow, ...], actions: tuple[ActionRow, ...]) -> str:
    """Return what the supervisor is asked for: with a stop caution nothing is asked, it is told."""
    decide = next((row.do for row in actions if row.who == "supervisor"), "Please decide whether it may keep running.")
    if not cautions:
        return decide
    first = cautions[0]
    if first.rank == "stop-now":
        return f"{first.say} By the local procedure it is to be stopped now: I am doing so."
    if first.rank == "do-not-start":
        return f"{first.say} It must not be started until you release it."
    return f"{first.say} {decide}"


def _is_normal(situation: Situation, name: str, value: str) -> bool:
    finding = situation.knowledge.findings[name]
    worded = _worded(finding, situation.knowledge)
    if value:
        return worded.values.get(value, False)
    return bool(finding.judged_as) and situation.values(str(finding.judged_as)) == frozenset([worded.normal])
