"""What happens while one case is worked on, as frozen values to be kept, and what stands after some of them."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field, replace
from functools import reduce
from typing import TYPE_CHECKING, Any

from diagnose.training.safety import Act

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

__all__ = [
    "FORMATS",
    "Acted",
    "Attempt",
    "Begun",
    "Chosen",
    "Closed",
    "Decided",
    "Event",
    "Hinted",
    "Looked",
    "Ready",
    "Stated",
    "after",
    "event_from",
    "event_record",
    "fold",
]

FORMATS = ("open", "next-check", "first-action", "odd-reading", "start-order")


@dataclass(frozen=True, slots=True)
class Begun:
    """A case was put to somebody.

    ``origin`` and ``case`` say where it is found again: a case of a file by its id, or a made one by what it was
    made from; never what is wrong. ``trainee`` is an id, ``minutes`` 0 for no limit.
    """

    format: str
    origin: str
    case: str
    trainee: str = ""
    team: str = ""
    course: str = ""
    minutes: float = 0.0
    seed: str = ""


@dataclass(frozen=True, slots=True)
class Acted:
    """A step of the safety ladder was taken."""

    step: str


@dataclass(frozen=True, slots=True)
class Looked:
    """A finding was looked at."""

    finding: str


@dataclass(frozen=True, slots=True)
class Hinted:
    """A hint was asked for."""


@dataclass(frozen=True, slots=True)
class Ready:
    """No more checks; ``time_up`` when the clock ended them."""

    time_up: bool = False


@dataclass(frozen=True, slots=True)
class Stated:
    """The causes named, each with how sure he is (0..1)."""

    shares: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Decided:
    """What he would do himself, in order (numbers from 0 in the list offered), and whom he would tell."""

    own: tuple[int, ...]
    tell: str


@dataclass(frozen=True, slots=True)
class Chosen:
    """The answer to a closed question: one option, or all of them in an order (numbers from 0)."""

    options: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Closed:
    """The case was marked; ``result`` holds what results are reckoned from."""

    result: Mapping[str, Any]


Event = Begun | Acted | Looked | Hinted | Ready | Stated | Decided | Chosen | Closed
_KINDS: dict[str, type[Any]] = {
    kind.__name__: kind for kind in (Begun, Acted, Looked, Hinted, Ready, Stated, Decided, Chosen, Closed)
}


@dataclass(frozen=True, slots=True)
class Attempt:
    """What stands after some events."""

    begun: Begun = Begun("open", "", "")
    acts: tuple[Act, ...] = ()
    looks: tuple[str, ...] = ()
    hints: int = 0
    ready: bool = False
    time_up: bool = False
    stated: Mapping[str, float] | None = None
    own: tuple[int, ...] | None = None
    tell: str = ""
    chosen: tuple[int, ...] | None = None
    result: Mapping[str, Any] = field(default_factory=dict)

    @property
    def stage(self) -> str:
        """What comes next: first, looking, causes, doing, choosing, or marked when all was said."""
        if self.begun.format != "open":
            return "choosing" if self.chosen is None else "marked"
        if not self.acts:
            return "first"
        if not self.ready:
            return "looking"
        if self.stated is None:
            return "causes"
        return "doing" if self.own is None else "marked"


def fold(happened: Iterable[Event]) -> Attempt:
    """Return what stands after all these events."""
    return reduce(after, happened, Attempt())


def after(attempt: Attempt, event: Event) -> Attempt:
    """Return what stands after one more event."""
    match event:
        case Begun():
            return Attempt(begun=event)
        case Acted():
            return replace(attempt, acts=(*attempt.acts, Act(event.step, len(attempt.looks))))
        case Looked():
            return replace(attempt, looks=(*attempt.looks, event.finding))
        case Hinted():
            return replace(attempt, hints=attempt.hints + 1)
        case Ready():
            return replace(attempt, ready=True, time_up=event.time_up)
        case Stated():
            return replace(attempt, stated=dict(event.shares))
        case Decided():
            return replace(attempt, own=event.own, tell=event.tell)
        case Chosen():
            return replace(attempt, chosen=event.options)
        case Closed():
            return replace(attempt, result=event.result)


def event_record(event: Event) -> dict[str, Any]:
    """Return the event as plain values that JSON can hold; ``event_from`` reads it back."""
    return {"kind": type(event).__name__, **asdict(event)}


def event_from(record: Mapping[str, Any]) -> Event:
    """Read back what ``event_record`` wrote. An unknown kind raises ``KeyError``, a missing field ``TypeError``."""
    values = dict(record)
    kind = _KINDS[values.pop("kind")]
    for name in ("own", "options"):
        if name in values:
            values[name] = tuple(values[name])
    if "shares" in values:
        values["shares"] = tuple((cause, share) for cause, share in values["shares"])
    event: Event = kind(**values)
    return event
