"""A closed question at the terminal: choose one, or put all in order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.terminal import quiz_words as words
from diagnose.terminal.page import Option
from diagnose.terminal.quiz import Talk
from diagnose.training import mark_wording, wording
from diagnose.values.problem import DiagnoseError
from diagnose.values.text import inert

if TYPE_CHECKING:
    from collections.abc import Callable

    from diagnose.knowledge.model import Knowledge
    from diagnose.terminal.page import Turn
    from diagnose.training.quiz import PuzzleQuiz

__all__ = ["PuzzleTalk"]


class PuzzleTalk(Talk):
    """Puts one closed question and shows its mark."""

    def __init__(
        self, quiz: PuzzleQuiz, knowledge: Knowledge, title: str = "", clean: Callable[[str], str] = inert
    ) -> None:
        super().__init__(title, clean)
        self._quiz, self._knowledge = quiz, knowledge
        self._order: list[int] = []

    def _stage(self) -> Turn:
        if self._quiz.attempt.stage == "marked":
            return self._reading(words.MARKED, tuple(mark_wording.puzzle_mark_lines(self._quiz, self._knowledge)))
        puzzle = self._quiz.puzzle
        texts = [wording.option_words(one, puzzle, self._knowledge) for one in puzzle.options]
        options = tuple(Option(str(at), text) for at, text in enumerate(texts) if at not in self._order)
        lines = (
            *wording.puzzle_lines(puzzle, self._knowledge),
            *(f"{number}. {texts[at]}" for number, at in enumerate(self._order, 1)),
        )
        return self._asked(wording.ASKED[puzzle.format], lines, options, self._picked)

    def _picked(self, value: str) -> None:
        if not self._quiz.puzzle.ordering:
            self._quiz.choose([int(value)])
            return
        self._order.append(int(value))
        if len(self._order) == len(self._quiz.puzzle.options):
            self._quiz.choose(self._order)

    def _words(self, typed: str) -> None:
        """Take a whole order typed at once."""
        numbers = typed.replace(",", " ").split()
        if not self._quiz.puzzle.ordering or not all(one.isdecimal() for one in numbers):
            super()._words(typed)
            return
        most = len(self._quiz.puzzle.options)
        order = [int(one) - 1 for one in numbers]
        if self._order or sorted(order) != list(range(most)):
            raise DiagnoseError(f"'{typed}' does not name each of 1 to {most} once.")
        self._quiz.choose(order)

    def _back(self) -> None:
        if not self._order:
            super()._back()
        else:
            self._order.pop()
