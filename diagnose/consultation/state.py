"""Events folded into what has been said, skipped and decided. Pure: the same events give the same state."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import reduce
from typing import TYPE_CHECKING

from diagnose.consultation import events

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from diagnose.consultation.events import Answer, Event

__all__ = ["State", "after", "fold"]


@dataclass(frozen=True, slots=True)
class State:
    """What stands after some events. ``said`` keeps the order in which answers came; a changed one comes last."""

    machine: str = ""
    phase: str = ""
    revision: str = ""
    said: Mapping[str, Answer] = field(default_factory=dict)
    asked: frozenset[str] = frozenset()  # which of the answers were to the open question
    others: Mapping[str, Mapping[str, Answer]] = field(default_factory=dict)
    skipped: tuple[str, ...] = ()
    put_right: tuple[str, ...] = ()
    reopened: str = ""  # the question to stand at, after going back
    trail: tuple[str, ...] = ()  # findings answered or skipped, latest last: what back undoes
    stopped: bool = False
    left: bool = False
    went_on: bool = False
    past: frozenset[str] = frozenset()  # stop cautions that the operator went on past


def fold(happened: Iterable[Event]) -> State:
    """Return the state after all these events."""
    return reduce(after, happened, State())


def after(state: State, event: Event) -> State:
    """Return the state after one more event."""
    if not isinstance(event, events.Left):
        state = replace(state, left=False)
    match event:
        case events.Started():
            return State(machine=event.machine, phase=event.phase, revision=event.revision)
        case events.Answered():
            return _answered(state, event)
        case events.Skipped():
            left = (*_without(state.skipped, event.finding), event.finding)
            return replace(state, skipped=left, trail=_trail(state, event.finding), reopened="", stopped=False)
        case events.Withdrawn():
            return _withdrawn(state, event)
        case events.PhaseChanged():
            return replace(state, phase=event.phase, stopped=False)
        case events.CausePutRight():
            return replace(state, put_right=(*_without(state.put_right, event.cause), event.cause), stopped=False)
        case events.Stopped():
            return replace(state, stopped=True)
        case events.WentOn():
            return replace(state, stopped=False, went_on=True, past=state.past | set(event.past))
        case events.Left():
            return replace(state, left=True)


def _answered(state: State, event: events.Answered) -> State:
    if event.machine and event.machine != state.machine:
        known = {**state.others.get(event.machine, {}), event.finding: event.answer}
        return replace(state, others={**state.others, event.machine: known})
    said = {name: answer for name, answer in state.said.items() if name != event.finding}
    said[event.finding] = event.answer
    asked = state.asked | {event.finding} if event.asked else state.asked - {event.finding}
    return replace(
        state,
        said=said,
        asked=asked,
        skipped=_without(state.skipped, event.finding),
        trail=_trail(state, event.finding),
        reopened="",
        stopped=False,
    )


def _withdrawn(state: State, event: events.Withdrawn) -> State:
    return replace(
        state,
        said={name: answer for name, answer in state.said.items() if name != event.finding},
        asked=state.asked - {event.finding},
        skipped=_without(state.skipped, event.finding),
        trail=_without(state.trail, event.finding),
        reopened=event.finding if event.reopen else state.reopened,
        stopped=False,
    )


def _trail(state: State, finding: str) -> tuple[str, ...]:
    return (*_without(state.trail, finding), finding)


def _without(names: tuple[str, ...], name: str) -> tuple[str, ...]:
    return tuple(one for one in names if one != name)
