"""What a typed line does, the same in both faces: which question or list is open, and what is said back."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Protocol

from diagnose.consultation.events import Answer, CannotTell, Intent, Leave, Report
from diagnose.terminal import errands, words
from diagnose.terminal.harmless import cleaned
from diagnose.terminal.keys import Mode, Verb, read
from diagnose.terminal.page import ANSWERING, Page, Turn, asking, option_meant
from diagnose.values.problem import DiagnoseError
from diagnose.values.text import inert

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from diagnose.consultation.view import Question, View
    from diagnose.knowledge.model import Knowledge

__all__ = ["Consulted", "Dialogue", "Found"]


class Found(Protocol):
    """A finding that lay words may mean; ``value`` is empty when the words do not tell which."""

    @property
    def finding(self) -> str:
        """The finding's id."""

    @property
    def value(self) -> str:
        """The value's id, or empty."""


class Consulted(Protocol):
    """What a face needs of a consultation. Every method raises ``DiagnoseError`` with one clear line for bad input."""

    @property
    def knowledge(self) -> Knowledge:
        """The rules and the site."""

    @property
    def note(self) -> str:
        """What was assumed when the latest text was understood; empty when nothing was."""

    def view(self) -> View:
        """Return the consultation as it stands."""

    def do(self, intent: Intent) -> View:
        """Carry out an intent and return the consultation as it stands after it."""

    def prepare(self) -> None:
        """Do ahead what the next answer would otherwise wait for."""

    def understand(self, finding: str, text: str) -> Answer:
        """Take what was typed as an answer about the finding."""

    def search(self, text: str) -> Sequence[Found]:
        """Return the findings that lay words may mean, best first."""

    def question_for(self, finding: str) -> Question:
        """Return the question of any finding, asked or not."""

    def why_question(self) -> Sequence[str]:
        """Say why the open question is asked."""

    def why_cause(self, cause: str) -> Sequence[str]:
        """Say why a cause stands where it does."""

    def why_not(self, cause: str) -> Sequence[str]:
        """Say what speaks against a cause, and what would speak for it."""

    def find_cause(self, text: str) -> str:
        """Return the id of the cause that words mean."""


class Dialogue:
    """One person at one consultation. ``page`` is what to show, ``take`` what to do with a line that was typed."""

    def __init__(self, session: Consulted, clean: Callable[[str], str] = inert) -> None:
        self.session = session
        self.view = cleaned(session.view(), clean)
        self.done = False
        self.parting = ""
        self._clean = clean
        self._note = ""
        self._open: list[Turn] = []
        self._page = Page(self._base(), self.view)

    def page(self) -> Page:
        """Return what to show now."""
        return replace(self._page, turn=self.turn, view=self.view)

    @property
    def turn(self) -> Turn:
        """What the next line will be taken as."""
        return self._open[-1] if self._open else self._base()

    def take(self, typed: str) -> bool:
        """Do what the line says. False when it could not be taken: the page then says why, and nothing changed."""
        return self._attempt(partial(self._take, typed.strip()))

    def choose(self, index: int) -> bool:
        """Take the option of this index, as by an arrow key and Enter."""
        return self._attempt(partial(self._chosen, index, sure=True))

    def leave(self) -> None:
        """Save and leave. The view from before stays to be shown; a record that refuses holds nobody back."""
        self.done = True
        self.parting = words.SAVED if self.view.run else words.NOT_KEPT
        try:
            self.session.do(Leave())
        except DiagnoseError as error:
            self.parting = self._clean(str(error))

    # For errands.

    def do(self, intent: Intent, notice: str) -> None:
        """Carry out an intent; whatever list was open is closed."""
        earlier = self.view
        self.view = cleaned(self.session.do(intent), self._clean)
        self._open.clear()
        before = {row.cause: row.probability for row in earlier.ranking}
        self._page = replace(self._page, before=before, notice=self._clean(notice))

    def open(self, turn: Turn) -> None:
        """Ask something before going on; back closes it again."""
        self._open.append(cleaned(turn, self._clean))

    def close(self) -> bool:
        """Close what was opened last; False when nothing was open."""
        return bool(self._open and self._open.pop())

    def report(self, finding: str, answer: Answer) -> None:
        """Give an answer about this machine."""
        if answer.cannot_tell:
            self.do(CannotTell(finding), words.CANNOT_TELL)
        else:
            said = answer.typed or answer.value
            self.do(Report(finding, answer), self._note or words.NOTED.format(said=said))

    # What a line is.

    def _attempt(self, step: Callable[[], None]) -> bool:
        self._note = ""
        self._page = replace(self._page, notice="", trouble="")
        try:
            step()
        except DiagnoseError as error:
            self._page = replace(self._page, trouble=self._clean(str(error)))
        return not self._page.trouble

    def _base(self) -> Turn:
        if self.view.standing == "no-symptom":
            return Turn(Mode.REPORT, partial(errands.find, self, self.report), title=words.WHAT_IS_WRONG)
        question = self.view.question
        if self.view.standing == "asking" and question:
            return asking(Mode.QUESTION, question, partial(self.report, question.finding))
        return Turn(Mode.ENDING, partial(errands.find, self, self.report))

    def _take(self, typed: str) -> None:
        if self.turn.mode is Mode.READ and self._turn_page(typed):
            return
        chosen = option_meant(self.turn, typed)
        command = read(typed, self.turn.mode)
        if chosen is not None:
            self._chosen(chosen, sure=True)
        elif command and command.verb is Verb.NOT_SURE:
            self._not_sure(command.rest)
        elif command:
            errands.ERRANDS[command.verb](self, command.rest)
        else:
            self._say(typed)

    def _turn_page(self, typed: str) -> bool:
        """Close a page that was read. What was typed counts for what lies beneath, unless it only closes."""
        command = read(typed, Mode.READ)
        self.close()
        return not typed or (command is not None and command.verb is Verb.BACK)

    def _say(self, typed: str) -> None:
        if not typed:
            raise DiagnoseError(words.NOTHING_MORE if self.turn.mode is Mode.ENDING else words.NOTHING_TYPED)
        if self.turn.mode in ANSWERING:
            doubted = typed.endswith("?")
            self._answer(typed.rstrip("? "), sure=not doubted)
        elif self.turn.mode is Mode.PICK:
            raise DiagnoseError(words.NOT_IN_LIST.format(typed=typed, most=len(self.turn.options)))
        else:
            self.turn.then(typed)

    def _not_sure(self, rest: str) -> None:
        if rest:
            self._answer(rest, sure=False)
        elif self.turn.sure:
            self._open.append(replace(self.turn, sure=False))

    def _answer(self, typed: str, *, sure: bool) -> None:
        chosen = option_meant(self.turn, typed)
        if chosen is not None:
            self._chosen(chosen, sure=sure)
        elif self.turn.question:
            answer = self.session.understand(self.turn.question.finding, typed)
            self._note = self.session.note
            self.turn.then(replace(answer, sure=answer.sure and sure and self.turn.sure))

    def _chosen(self, index: int, *, sure: bool) -> None:
        option = self.turn.options[index]
        if self.turn.mode in ANSWERING:
            sure = sure and self.turn.sure
            self.turn.then(Answer(value=option.value, sure=sure, typed=option.words))
        else:
            self.turn.then(option.value)
