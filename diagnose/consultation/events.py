"""Everything that can be wished and everything that can happen in a consultation, as frozen values.

A front end turns keys or words into an ``Intent``; ``steps`` turns an intent into ``Event`` values; the state
is those events folded. Only events are kept in a journal, and a consultation is nothing but its events.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

__all__ = [
    "Answer",
    "Answered",
    "Back",
    "CannotTell",
    "Event",
    "GoOn",
    "Intent",
    "Leave",
    "Left",
    "OtherMachine",
    "PhaseChanged",
    "PutRight",
    "Report",
    "SetPhase",
    "Skip",
    "Skipped",
    "Started",
    "Stop",
    "Stopped",
    "TakeBack",
    "WentOn",
    "Withdrawn",
    "event_from",
    "event_record",
]


@dataclass(frozen=True, slots=True)
class Answer:
    """What was said of one finding: a value or a number, sure or not; or that it cannot be told.

    ``number`` is in the canonical unit of the finding's reading. ``typed`` is what the person typed.
    """

    value: str = ""
    number: float | None = None
    sure: bool = True
    cannot_tell: bool = False
    typed: str = ""


# Intents: what a person wants.
@dataclass(frozen=True, slots=True)
class Report:
    """Say what a finding is: an answer to the open question, a changed answer or an unasked finding alike."""

    finding: str
    answer: Answer


@dataclass(frozen=True, slots=True)
class CannotTell:
    """The open question (or the named one) cannot be answered."""

    finding: str


@dataclass(frozen=True, slots=True)
class Skip:
    """Leave the named question for later; it may come back when nothing else is left."""

    finding: str


@dataclass(frozen=True, slots=True)
class TakeBack:
    """An earlier answer is withdrawn as if never given."""

    finding: str


@dataclass(frozen=True, slots=True)
class Back:
    """Undo the latest answer, skip or can't tell, and stand at its question again."""


@dataclass(frozen=True, slots=True)
class SetPhase:
    """The machine is in another phase now."""

    phase: str


@dataclass(frozen=True, slots=True)
class OtherMachine:
    """What is known of a finding on another machine of the site."""

    machine: str
    finding: str
    answer: Answer


@dataclass(frozen=True, slots=True)
class PutRight:
    """A cause was put right and the symptom stays."""

    cause: str


@dataclass(frozen=True, slots=True)
class Stop:
    """End the questions; the ending is shown."""


@dataclass(frozen=True, slots=True)
class GoOn:
    """Go on asking after the consultation had stopped."""


@dataclass(frozen=True, slots=True)
class Leave:
    """Save and leave; the consultation can be resumed."""


Intent = Report | CannotTell | Skip | TakeBack | Back | SetPhase | OtherMachine | PutRight | Stop | GoOn | Leave


# Events: what happened.
@dataclass(frozen=True, slots=True)
class Started:
    """A consultation about a machine in a phase began, under rules of this revision."""

    machine: str
    phase: str
    revision: str


@dataclass(frozen=True, slots=True)
class Answered:
    """A finding was answered; ``asked`` tells whether it was the open question."""

    finding: str
    answer: Answer
    asked: bool
    machine: str = ""  # another machine, when not the one consulted about


@dataclass(frozen=True, slots=True)
class Skipped:
    """A question was left for later."""

    finding: str


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """An answer, can't tell or skip was taken back; ``finding`` becomes the open question when ``reopen``."""

    finding: str
    reopen: bool = False


@dataclass(frozen=True, slots=True)
class PhaseChanged:
    """The machine came into another phase."""

    phase: str


@dataclass(frozen=True, slots=True)
class CausePutRight:
    """A cause was put right and the symptom stays."""

    cause: str


@dataclass(frozen=True, slots=True)
class Stopped:
    """The operator ended the questions."""


@dataclass(frozen=True, slots=True)
class WentOn:
    """The operator wanted to go on, past these stop cautions."""

    past: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Left:
    """The operator left; the consultation stays open."""


Event = Started | Answered | Skipped | Withdrawn | PhaseChanged | CausePutRight | Stopped | WentOn | Left

_KINDS: dict[str, type[Any]] = {
    kind.__name__: kind
    for kind in (Started, Answered, Skipped, Withdrawn, PhaseChanged, CausePutRight, Stopped, WentOn, Left)
}


def event_record(event: Event) -> dict[str, Any]:
    """Return the event as plain values that JSON can hold; ``event_from`` reads it back."""
    return {"kind": type(event).__name__, **asdict(event)}


def event_from(record: dict[str, Any]) -> Event:
    """Read back what ``event_record`` wrote. An unknown kind raises ``KeyError``, a missing field ``TypeError``."""
    fields = dict(record)
    kind = _KINDS[fields.pop("kind")]
    if isinstance(fields.get("answer"), dict):
        fields["answer"] = Answer(**fields["answer"])
    if "past" in fields:
        fields["past"] = tuple(fields["past"])
    event: Event = kind(**fields)
    return event
