"""The one table of keys: letter, words, meaning, and where each works. Both faces read it; help is printed from it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from typing import TYPE_CHECKING

from diagnose.values.text import width

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = [
    "KEYS",
    "Command",
    "Key",
    "Mode",
    "Takes",
    "Verb",
    "help_lines",
    "key_lines",
    "keys_in",
    "read",
    "short_keys",
]


class Mode(Enum):
    """What the line that is being typed will be taken as."""

    REPORT = auto()  # what is not normal, in own words, before anything is known
    QUESTION = auto()  # an answer to the open question
    CHANGE = auto()  # another answer to a question answered before
    GIVE = auto()  # an answer to a question that the operator brought up
    PICK = auto()  # one of a numbered list
    ENTER = auto()  # free words
    READ = auto()  # nothing: a page to read
    ENDING = auto()  # nothing more is asked


class Verb(Enum):
    """What a key asks for."""

    CANNOT_TELL = auto()
    NOT_SURE = auto()
    SKIP = auto()
    BACK = auto()
    CHANGE = auto()
    TAKE_BACK = auto()
    ADD = auto()
    OTHER = auto()
    PHASE = auto()
    WHY = auto()
    WHY_CAUSE = auto()
    WHY_NOT = auto()
    END = auto()
    GO_ON = auto()
    PUT_RIGHT = auto()
    QUIT = auto()
    HELP = auto()


class Takes(Enum):
    """What may follow the key on the same line."""

    NOTHING = auto()
    NUMBER = auto()
    WORDS = auto()


@dataclass(frozen=True, slots=True)
class Key:
    """One key: its letter, the words that do the same, what it does in full and in short, and where."""

    letter: str
    verb: Verb
    words: tuple[str, ...]
    does: str
    short: str
    modes: frozenset[Mode]
    takes: Takes = Takes.NOTHING


@dataclass(frozen=True, slots=True)
class Command:
    """A key as typed, with what followed it."""

    verb: Verb
    rest: str = ""


_ANSWERING = frozenset({Mode.QUESTION, Mode.CHANGE, Mode.GIVE})
_ASKED = frozenset({Mode.QUESTION})
_KNOWN = _ANSWERING | {Mode.ENDING}
_BASE = _KNOWN | {Mode.REPORT}
_ALL = frozenset(Mode)

KEYS = (
    Key(
        "u",
        Verb.CANNOT_TELL,
        ("can't tell", "cant tell", "cannot tell", "can not tell", "don't know", "dont know", "do not know", "unknown"),
        "You can't tell. It changes nothing and is not asked again.",
        "can't tell",
        _ANSWERING,
    ),
    Key(
        "n",
        Verb.NOT_SURE,
        ("not sure", "unsure", "maybe"),
        "You are not sure: then give what you think it is. 'n 2' and '2?' do the same on one line.",
        "not sure",
        _ANSWERING,
        Takes.WORDS,
    ),
    Key(
        "s",
        Verb.SKIP,
        ("skip", "later", "leave for later"),
        "Leave this question for later.",
        "later",
        _ASKED,
    ),
    Key(
        "b",
        Verb.BACK,
        ("back", "go back", "undo"),
        "One step back: out of a list, or back to the question before.",
        "back",
        _ALL,
    ),
    Key(
        "t",
        Verb.TAKE_BACK,
        ("take back", "withdraw", "never said"),
        "Take the earlier answer back, as if it had never been given.",
        "take back",
        frozenset({Mode.CHANGE}),
    ),
    Key(
        "w",
        Verb.WHY,
        ("why", "why this question", "why this", "why ask"),
        "Why this question is asked.",
        "why",
        _ANSWERING,
    ),
    Key(
        "e",
        Verb.END,
        ("end", "ending", "finish"),
        "End the questions and show what comes of them.",
        "end",
        _ANSWERING | {Mode.REPORT},
    ),
    Key(
        "g",
        Verb.GO_ON,
        ("go on", "continue", "more questions"),
        "Go on with the questions.",
        "go on",
        frozenset({Mode.ENDING}),
    ),
    Key(
        "c",
        Verb.CHANGE,
        ("change", "change answer", "change an answer", "change an earlier answer"),
        "Change an earlier answer. 'c 3' goes straight to answer 3.",
        "change",
        _KNOWN,
        Takes.NUMBER,
    ),
    Key(
        "a",
        Verb.ADD,
        ("add", "add a finding", "also"),
        "Add something you noticed, in your own words.",
        "add",
        _KNOWN,
    ),
    Key(
        "y",
        Verb.WHY_CAUSE,
        ("why this cause", "why cause", "why"),
        "Why a cause stands where it does. 'y 1' asks for cause 1.",
        "why cause",
        _KNOWN,
        Takes.WORDS,
    ),
    Key(
        "x",
        Verb.WHY_NOT,
        ("why not",),
        "Why not another cause: then name it.",
        "why not",
        _KNOWN,
        Takes.WORDS,
    ),
    Key(
        "o",
        Verb.OTHER,
        ("other", "other machine", "another machine"),
        "What you know of another machine.",
        "other machine",
        _BASE,
    ),
    Key(
        "p",
        Verb.PHASE,
        ("phase", "phase changed"),
        "The machine is in another phase now.",
        "phase",
        _BASE,
        Takes.WORDS,
    ),
    Key(
        "r",
        Verb.PUT_RIGHT,
        ("put right", "repaired", "fixed"),
        "A cause was put right and the symptom stays.",
        "put right",
        _KNOWN,
        Takes.WORDS,
    ),
    Key(
        "q",
        Verb.QUIT,
        ("quit", "leave", "save and leave", "exit"),
        "Save and leave. You can come back to it.",
        "leave",
        _ALL,
    ),
    Key("?", Verb.HELP, ("help", "keys", "all keys"), "All keys.", "all keys", _ALL),
)


def keys_in(mode: Mode) -> tuple[Key, ...]:
    """Return the keys that work in this mode, in the order of the table."""
    return tuple(key for key in KEYS if mode in key.modes)


def read(typed: str, mode: Mode) -> Command | None:
    """Take a typed line as a key of this mode, or None when it is no key but something said."""
    text = " ".join(typed.replace("\u2019", "'").split())
    found = [command for key in keys_in(mode) for command in _as_key(key, text)]
    return min(found, key=lambda command: len(command.rest), default=None)


def help_lines() -> tuple[str, ...]:
    """Every key with the word that does the same and what it does, one line each."""
    return tuple(f"{key.letter} or {key.words[0]}: {key.does}" for key in KEYS)


def short_keys(mode: Mode) -> tuple[str, ...]:
    """Name each key of this mode with the word or two that say what it does."""
    return tuple(f"{key.letter} {key.short}" for key in keys_in(mode))


def key_lines(mode: Mode, columns: int, lines: int, lead: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Name as many keys of this mode as fit into so many lines; how to leave and how to see all keys always stay."""
    *most, leave, every = short_keys(mode)
    items = [*lead, *most]
    while len(packed := _pack([*items, leave, every], columns)) > lines and items:
        items.pop()
    return packed


def _as_key(key: Key, text: str) -> Iterator[Command]:
    folded = text.casefold()
    for word in (key.letter, *key.words):
        rest = text[len(word) + 1 :]
        if folded == word:
            yield Command(key.verb)
        elif folded.startswith(f"{word} ") and _may_follow(key.takes, rest):
            yield Command(key.verb, rest)


def _may_follow(takes: Takes, rest: str) -> bool:
    return takes is Takes.WORDS or (takes is Takes.NUMBER and rest.isdecimal())


def _pack(items: list[str], columns: int) -> tuple[str, ...]:
    lines = [""]
    for item in items:
        longer = f"{lines[-1]}   {item}" if lines[-1] else item
        if width(longer) <= columns or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(item)
    return tuple(lines)
