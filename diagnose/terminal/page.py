"""One frozen value that a face shows: the consultation as it stands, and what the next typed line will be taken as."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from diagnose.consultation.wording import plain
from diagnose.terminal import words
from diagnose.terminal.keys import Mode
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from diagnose.consultation.view import AnsweredRow, Question, View

__all__ = ["ANSWERING", "Option", "Page", "Turn", "asking", "changeable", "option_meant"]

ANSWERING = frozenset({Mode.QUESTION, Mode.CHANGE, Mode.GIVE})


@dataclass(frozen=True, slots=True)
class Option:
    """One row of a list: what it stands for, its words, and a note such as ``normal``."""

    value: str
    words: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Turn:
    """What is asked of the person now, and what to do with what is typed or chosen.

    ``then`` takes an ``Answer`` where a question is answered, and otherwise the chosen value or the typed words.
    """

    mode: Mode
    then: Callable[[Any], None] = field(compare=False)
    title: str = ""
    options: tuple[Option, ...] = ()
    lines: tuple[str, ...] = ()
    question: Question | None = None
    sure: bool = True
    onward: bool = False  # a page to read after which Enter goes on, not back

    @property
    def numbered(self) -> bool:
        """Whether a bare number chooses an option: not where a number is itself an answer."""
        return not (self.question and self.question.unit)


@dataclass(frozen=True, slots=True)
class Page:
    """All that a face shows at one moment. ``before`` has the probabilities that stood before the latest step."""

    turn: Turn
    view: View | None = None
    before: Mapping[str, float] = field(default_factory=dict)
    notice: str = ""
    trouble: str = ""


def asking(mode: Mode, question: Question, then: Callable[[Any], None], title: str = "") -> Turn:
    """Put a question: its choices become the options."""
    options = tuple(
        Option(choice.value, choice.words, _note(question, index)) for index, choice in enumerate(question.choices)
    )
    return Turn(mode, then, title=title, options=options, question=question)


def changeable(view: View) -> tuple[AnsweredRow, ...]:
    """Return the answers about this machine, oldest first: those that can be changed, by their number."""
    return tuple(row for row in view.answered if row.machine in {"", view.machine})


def option_meant(turn: Turn, typed: str) -> int | None:
    """Return the index of the option that a number or its own words mean, or None.

    Raises ``DiagnoseError`` for a number that no option has.
    """
    text = plain(" ".join(typed.split()).casefold())
    for index, option in enumerate(turn.options):
        if len(text) > 1 and text in {plain(option.words.casefold()), plain(option.value.casefold())}:
            return index
    if not (text.isdecimal() and turn.numbered and turn.options):
        return None
    if not 1 <= int(text) <= len(turn.options):
        raise DiagnoseError(words.NOT_A_NUMBER_HERE.format(typed=typed, most=len(turn.options)))
    return int(text) - 1


def _note(question: Question, index: int) -> str:
    choice = question.choices[index]
    usual_here = words.USUAL_HERE if question.usual == choice.words else ""
    return ", ".join(filter(None, [words.NORMAL if choice.normal and choice.words != words.NORMAL else "", usual_here]))
