"""One frozen value that holds all any screen, page or file may show of a consultation."""

from __future__ import annotations

from typing import NamedTuple

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


class Choice(NamedTuple):
    """A value that may be chosen: its id, the words for it, whether it is the normal one."""

    value: str
    words: str
    normal: bool


class WhyAsked(NamedTuple):
    """Why this question stands first: it can settle a stop, or it separates these causes (titles), by so many bits."""

    settles_stop: bool
    separates: tuple[str, ...]
    bits: float
    minutes: float
    expected: tuple[tuple[str, float], ...]  # words of each answer and its probability now


class Question(NamedTuple):
    """A question as it is put: choices by number, and a unit when a number is welcome."""

    finding: str
    ask: str
    how: str
    hazard: str  # "none" or what to mind
    minutes: float
    choices: tuple[Choice, ...]
    unit: str  # the unit in which the site reads it; "" when no number is asked
    usual: str  # this machine's own normal, in words or as a number with its unit; "" when not known
    why: WhyAsked


class Weight(NamedTuple):
    """What one answer weighs for (positive) or against a cause, in decibans, in the order the answers came."""

    finding: str
    said: str
    decibans: float


class CauseRow(NamedTuple):
    """A ranked row; ``cause`` is empty for something these rules do not cover.

    ``led_by`` are the causes known to lead to this one that may be there as well, likeliest first.
    """

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
    led_by: tuple[str, ...] = ()


class CautionRow(NamedTuple):
    """A caution in force. ``because`` names the answers it rests on. ``procedure`` carries its local number."""

    caution: str
    rank: str
    say: str
    do: str
    procedure: str
    because: tuple[str, ...]
    source: str


class ActionRow(NamedTuple):
    """Something to do, by whom, and where it comes from (a rule, a cause or a caution)."""

    who: str
    do: str
    procedure: str
    comes_from: str


class AnsweredRow(NamedTuple):
    """An answer as given, newest last. ``judged`` tells what the rules made of a number, if anything."""

    finding: str
    ask: str
    said: str
    judged: str
    sure: bool
    cannot_tell: bool
    machine: str


class Contradiction(NamedTuple):
    """Answers that give one condition two values; both are kept."""

    condition: str
    said: tuple[str, ...]


class ReferredCheck(NamedTuple):
    """A check that would tell but is not the operator's: who may make it."""

    finding: str
    ask: str
    who: str
    bits: float


class View(NamedTuple):
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
    run: str = ""  # the id under which it is kept; "" when it is not
