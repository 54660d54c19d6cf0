"""An intent made into events. Pure; raises ``DiagnoseError`` when the intent makes no sense here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation import events
from diagnose.consultation.events import Answer, Event, Intent
from diagnose.knowledge.model import PHASES, Knowledge
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from diagnose.consultation.state import State

__all__ = ["events_for"]


def events_for(
    state: State, intent: Intent, knowledge: Knowledge, open_question: str, stops: Iterable[str]
) -> tuple[Event, ...]:
    """Return what happens when a person wants this. ``stops`` are the stop cautions in force."""
    match intent:
        case events.Report():
            _known("finding", intent.finding, knowledge.findings)
            asked = _answers(intent.finding, open_question, knowledge)
            return (events.Answered(intent.finding, intent.answer, asked=asked),)
        case events.CannotTell():
            _known("finding", intent.finding, knowledge.findings)
            unknown = Answer(cannot_tell=True, typed="can't tell")
            return (events.Answered(intent.finding, unknown, asked=intent.finding == open_question),)
        case events.Skip():
            return (events.Skipped(intent.finding),)
        case events.TakeBack():
            _known("answer", intent.finding, state.said)
            return (events.Withdrawn(intent.finding),)
        case events.Back():
            return (events.Withdrawn(state.trail[-1], reopen=True),) if state.trail else ()
        case events.SetPhase():
            _known("phase", intent.phase, PHASES)
            return (events.PhaseChanged(intent.phase),)
        case events.OtherMachine():
            _known("machine", intent.machine, knowledge.site.machines)
            _known("finding", intent.finding, knowledge.findings)
            return (events.Answered(intent.finding, intent.answer, asked=False, machine=intent.machine),)
        case events.PutRight():
            _known("cause", intent.cause, knowledge.causes)
            return (events.CausePutRight(intent.cause),)
        case events.Stop():
            return (events.Stopped(),)
        case events.GoOn():
            return (events.WentOn(tuple(stops)),)
        case events.Leave():
            return (events.Left(),)


def _answers(finding: str, open_question: str, knowledge: Knowledge) -> bool:
    """Tell whether saying this finding answers the open question: it, or what is judged as the same condition."""
    if not open_question or finding == open_question:
        return bool(open_question)
    findings = knowledge.findings
    conditions = (one for one in findings.values() if one.judged_from)
    return any({finding, open_question} <= {one.id, *one.judged_from} for one in conditions)


def _known(what: str, name: str, names: Iterable[str]) -> None:
    if name not in names:
        raise DiagnoseError(f"There is no {what} '{name}' here.", mend=did_you_mean(name, names))
