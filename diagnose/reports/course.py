"""How a consultation went: each moment with what was done, and the cautions that came and went with it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation import events
from diagnose.consultation.saying import answer_words, titled
from diagnose.consultation.session import Session
from diagnose.consultation.state import State, after
from diagnose.consultation.wording import plain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from diagnose.consultation.events import Event
    from diagnose.consultation.view import CautionRow
    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["Moment", "course"]


class Moment(NamedTuple):
    """One event: when (UTC, ISO 8601), what happened in words, cautions that appeared and that fell away with it."""

    at: str
    what: str
    raised: tuple[CautionRow, ...]
    lifted: tuple[CautionRow, ...]


def course(happened: Sequence[tuple[str, Event]], knowledge: Knowledge, machine: Machine) -> Iterator[Moment]:
    """Yield every moment of a consultation, the cautions worked out again at each that can change them."""
    state = State()
    shown: dict[str, CautionRow] = {}
    for number, (at, event) in enumerate(happened, 1):
        what, before, state = _words(event, state, knowledge), state, after(state, event)
        if _changes_what_is_known(event, before):
            session = Session(knowledge, machine, happened=[one for _, one in happened[:number]])
            now = {row.caution: row for row in session.view().cautions}
            raised = tuple(row for name, row in now.items() if name not in shown)
            lifted = tuple(row for name, row in shown.items() if name not in now)
            shown = now
            yield Moment(at, what, raised, lifted)
        else:
            yield Moment(at, what, (), ())


def _changes_what_is_known(event: Event, before: State) -> bool:
    match event:
        case events.Answered():
            return not event.answer.cannot_tell or event.finding in before.said or bool(event.machine)
        case events.Withdrawn():
            return event.finding in before.said and not before.said[event.finding].cannot_tell
        case _:
            return isinstance(event, events.Started | events.PhaseChanged | events.CausePutRight)


def _words(event: Event, before: State, knowledge: Knowledge) -> str:
    match event:
        case events.Started():
            return f"Begun; the machine is in phase {plain(event.phase)}."
        case events.Answered():
            return _answered(event, before, knowledge)
        case events.Skipped():
            return f"Left for later: {_asked(event.finding, knowledge)}"
        case events.Withdrawn():
            return f"Taken back: {titled(knowledge.findings[event.finding])}."
        case events.PhaseChanged():
            return f"The machine came into phase {plain(event.phase)}."
        case events.CausePutRight():
            cause = knowledge.causes.get(event.cause)
            return f"Put right, and the symptom stayed: {cause.title if cause else plain(event.cause)}"
        case events.Stopped():
            return "Questions ended by the operator."
        case events.WentOn():
            past = ", ".join(map(plain, event.past))
            return f"Went on with the questions{f', past the caution: {past}' if past else ''}."
        case events.Left():
            return "Saved and left."


def _answered(event: events.Answered, before: State, knowledge: Knowledge) -> str:
    finding = knowledge.findings[event.finding]
    said = answer_words(finding, event.answer, knowledge)
    if event.machine and event.machine != before.machine:
        return f"Said of {event.machine}: {titled(finding)}: {said}."
    if event.finding in before.said:
        return f"Changed: {titled(finding)}: {said}."
    if event.asked:
        return f"Asked: {_asked(event.finding, knowledge)} Answer: {said}."
    return f"Reported: {titled(finding)}: {said}."


def _asked(name: str, knowledge: Knowledge) -> str:
    finding = knowledge.findings[name]
    if not finding.ask and finding.judged_from:
        finding = knowledge.findings[finding.judged_from[0]]
    return finding.ask or f"{titled(finding)}?"
