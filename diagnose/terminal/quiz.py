"""A quiz at the terminal: what is shown at each stage and what a typed line does; the same for both faces."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from diagnose.consultation.view import Question, WhyAsked
from diagnose.terminal import quiz_words, words
from diagnose.terminal.harmless import cleaned
from diagnose.terminal.keys import Mode, Verb, read
from diagnose.terminal.page import Option, Page, Turn, option_meant
from diagnose.values.problem import DiagnoseError
from diagnose.values.text import inert

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

__all__ = ["Talk"]


class Talk:
    """Holds the lists that are open over a quiz's own stage; ``done`` when the case is over or was left.

    A kind of quiz gives ``_stage``: the turn that stands when no list is open.
    """

    def __init__(self, title: str, clean: Callable[[str], str] = inert) -> None:
        self.done = False
        self.left = False
        self._title = title
        self._clean = clean
        self._open: list[Turn] = []
        self._notice = ""
        self._trouble = ""

    def page(self) -> Page:
        """Return what to show now."""
        turn = self._open[-1] if self._open else self._stage()
        return Page(cleaned(turn, self._clean), notice=self._clean(self._notice), trouble=self._clean(self._trouble))

    def take(self, typed: str) -> bool:
        """Do what the line says; False when it could not be taken."""
        return self._attempt(partial(self._take, typed.strip()))

    def choose(self, index: int) -> bool:
        """Take the option of this index."""
        return self._attempt(partial(self._chosen, index))

    def leave(self) -> None:
        """Save and leave; the case can be taken up again."""
        self.done = self.left = True

    def _stage(self) -> Turn:
        raise NotImplementedError

    def _words(self, typed: str) -> None:
        """Take words that are no option and no key."""
        raise DiagnoseError(words.NOT_IN_LIST.format(typed=typed, most=len(self._turn.options)))

    def _back(self) -> None:
        """Go back where no list is open."""
        raise DiagnoseError(quiz_words.NO_WAY_BACK)

    @property
    def _turn(self) -> Turn:
        return self._open[-1] if self._open else self._stage()

    def _attempt(self, step: Callable[[], None]) -> bool:
        self._notice = self._trouble = ""
        try:
            step()
        except DiagnoseError as error:
            self._trouble = str(error)
        return not self._trouble

    def _take(self, typed: str) -> None:
        turn = self._turn
        if turn.mode is Mode.READ:
            turn.then(typed)
            return
        index = option_meant(turn, typed)
        command = read(typed, turn.mode)
        if index is not None:
            self._chosen(index)
        elif command and command.verb is Verb.QUIT:
            self.leave()
        elif command and command.verb is Verb.BACK:
            self._go_back()
        elif command:
            self._notice = quiz_words.HELP
        elif not typed:
            raise DiagnoseError(words.NOTHING_TYPED)
        elif turn.mode is Mode.ENTER:
            turn.then(typed)
        else:
            self._words(typed)

    def _chosen(self, index: int) -> None:
        self._turn.then(self._turn.options[index].value)

    def _go_back(self) -> None:
        if self._open:
            self._open.pop()
        else:
            self._back()

    def _pick(self, title: str, rows: list[tuple[str, str]], then: Callable[[str], None]) -> None:
        """Open a list over what stands now."""
        options = tuple(Option(value, text) for value, text in rows)
        self._open.append(Turn(Mode.PICK, then, title=title, options=options))

    def _close_lists(self) -> None:
        self._open.clear()

    def _reading(self, title: str, lines: tuple[str, ...]) -> Turn:
        """Return a page to read, after which the case is over."""
        return Turn(Mode.READ, lambda _: self._over(), title=title, lines=lines, onward=True)

    def _over(self) -> None:
        self.done = True

    def _asked(self, ask: str, about: Iterable[str], options: tuple[Option, ...], then: Callable[[str], None]) -> Turn:
        """Return a turn that puts a question above its options, and what it is about above that."""
        title = " ".join(filter(None, [self._title, *about]))
        return Turn(Mode.PICK, then, title=title, options=options, question=_question(ask))


def _question(ask: str) -> Question:
    why = WhyAsked(settles_stop=False, separates=(), bits=0.0, minutes=0.0, expected=())
    return Question("", ask, how="", hazard="none", minutes=0.0, choices=(), unit="", usual="", why=why)
