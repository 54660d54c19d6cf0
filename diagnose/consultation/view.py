"""One frozen value that holds all any screen, page or file may show of a consultation."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "ActionRow",
    "AnsweredRow",
    "CauseRow",
    "CautionRow",
    "Choice",
    "Contradiction",
    "Question",
    "ReferredCheck",
    "View",
    "Weight",
    "WhyAsked",
]


@dataclass(frozen=True, slots=True)
class Choice:
    """A value that may be chosen: its id, the words for it, whether it is the normal one."""

    value: str
    words: str
    normal: bool


@dataclass(frozen=True, slots=True)
class WhyAsked:
    """Why this question stands first: it can settle a stop, or it separates these causes (titles), by so many bits."""

    settles_stop: bool
    separates: tuple[str, ...]
    bits: float
    minutes: float
    expected: tuple[tuple[str, float], ...]  # words of each answer and its probability now


@dataclass(frozen=True, slots=True)
class Question:
    """A question as it is put: choices by number, and a unit when a number is welcome."""

    finding: str
    ask: str
    how: str
    hazard: str  # "none" or what to mind
    minutes: float
    choices: tuple[Choice, ...]
    unit: str  # canonical unit of the reading; "" when no number is asked
    usual: str  # this machine's own normal, in words or as a number with its unit; "" when not known
    why: WhyAsked


@dataclass(frozen=True, slots=True)
class Weight:
    """What one answer weighs for (positive) or against a cause, in decibans, in the order the answers came."""

    finding: str
    said: str
    decibans: float


@dataclass(frozen=True, slots=True)
class CauseRow:
    """A ranked row; ``cause`` is empty for something these rules do not cover."""

    cause: str
    title: str
    probability: float
    words: str
    severity: str
    subsystem: str
    weights: tuple[Weight, ...]
    if_left: str
    settled_by: str
    source: str


@dataclass(frozen=True, slots=True)
class CautionRow:
    """A caution in force. ``because`` names the answers it rests on. ``procedure`` carries its local number."""

    caution: str
    rank: str
    say: str
    do: str
    procedure: str
    because: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class ActionRow:
    """Something to do, by whom, and where it comes from (a rule, a cause or a caution)."""

    who: str
    do: str
    procedure: str
    comes_from: str


@dataclass(frozen=True, slots=True)
class AnsweredRow:
    """An answer as given, newest last. ``judged`` tells what the rules made of a number, if anything."""

    finding: str
    ask: str
    said: str
    judged: str
    sure: bool
    cannot_tell: bool
    machine: str


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Answers that give one condition two values; both are kept."""

    condition: str
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReferredCheck:
    """A check that would tell but is not the operator's: who may make it."""

    finding: str
    ask: str
    who: str
    bits: float


@dataclass(frozen=True, slots=True)
class View:
    """The consultation as it stands.

    ``standing``: asking | stop-caution | settled | nothing-worth-asking | not-covered | stopped | no-symptom | left.
    The ranking has every cause with a share worth showing, best first, and always the row of what is not covered.
    """

    machine: str
    machine_title: str
    phase: str
    question: Question | None
    standing: str
    ranking: tuple[CauseRow, ...]
    cautions: tuple[CautionRow, ...]
    answered: tuple[AnsweredRow, ...]
    actions: tuple[ActionRow, ...]
    procedures: tuple[str, ...]
    contradictions: tuple[Contradiction, ...]
    referred: tuple[ReferredCheck, ...]
    refer: tuple[str, ...]  # codes: dangerous-cause, not-covered, conflict, unsettled
    conflict: float
    put_right: tuple[str, ...]
    supervisor: tuple[str, str, str]  # three lines to read over the radio
    revision: str
