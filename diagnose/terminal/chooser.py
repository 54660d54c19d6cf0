"""One list to choose from before a consultation exists: the machine, the phase, a saved consultation."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from diagnose.terminal import words
from diagnose.terminal.keys import Mode, Verb, read
from diagnose.terminal.page import Option, Page, Turn, option_meant
from diagnose.values.problem import DiagnoseError
from diagnose.values.text import inert

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Chooser"]


class Chooser:
    """Asks until one of (value, words) is chosen or the person leaves; ``chosen`` is None then."""

    def __init__(self, title: str, options: Sequence[tuple[str, str]]) -> None:
        rows = tuple(Option(value, inert(text)) for value, text in options)
        self._page = Page(Turn(Mode.PICK, lambda _: None, title=inert(title), options=rows))
        self.done = False
        self.chosen: str | None = None

    def page(self) -> Page:
        """Return what to show now."""
        return self._page

    def take(self, typed: str) -> bool:
        """Choose by number or words, or leave. Return False when the line could not be taken."""
        self._page = replace(self._page, notice="", trouble="")
        try:
            self._take(typed.strip())
        except DiagnoseError as error:
            self._page = replace(self._page, trouble=str(error))
        return not self._page.trouble

    def choose(self, index: int) -> bool:
        """Choose the option of this index."""
        self.chosen = self._page.turn.options[index].value
        self.done = True
        return True

    def leave(self) -> None:
        """Leave without a choice."""
        self.done = True

    def _take(self, typed: str) -> None:
        index = option_meant(self._page.turn, typed)
        command = read(typed, Mode.PICK)
        if index is not None:
            self.choose(index)
        elif command and command.verb is Verb.HELP:
            self._page = replace(self._page, notice=words.CHOOSE_HELP)
        elif command:
            self.leave()
        else:
            most = len(self._page.turn.options)
            raise DiagnoseError(words.NOT_IN_LIST.format(typed=typed, most=most) if typed else words.NOTHING_TYPED)
