"""One case put to a trainee: what he wants becomes kept events, and the marks follow from those."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from diagnose.training import handling, results
from diagnose.training.attempt import Acted, Chosen, Closed, Decided, Hinted, Looked, Ready, Stated, after, fold
from diagnose.training.marking import Marks, mark
from diagnose.training.open_case import OpenCase, walk
from diagnose.training.puzzles import PuzzleMark, mark_puzzle
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from diagnose.knowledge.model import Case, Finding, Knowledge
    from diagnose.training.attempt import Attempt, Event
    from diagnose.training.handling import Offer
    from diagnose.training.open_case import Look
    from diagnose.training.puzzles import Puzzle

__all__ = ["MOST_CAUSES", "OpenQuiz", "PuzzleQuiz", "Quiz"]

MOST_CAUSES = 3


class Quiz:
    """What both kinds share. ``keep`` is called with every event before its consequence can be seen."""

    def __init__(self, happened: Iterable[Event], keep: Callable[[Event], None]) -> None:
        self._keep = keep
        self.attempt: Attempt = fold(happened)

    def _happens(self, event: Event) -> None:
        self._keep(event)
        self.attempt = after(self.attempt, event)

    def _close(self, result: Mapping[str, Any]) -> None:
        if not self.attempt.result:
            self._happens(Closed(result))


class OpenQuiz(Quiz):
    """An open diagnosis: act, look, act again, say ready, name causes, say what to do. Resumes from its events."""

    def __init__(
        self,
        case: Case,
        knowledge: Knowledge,
        happened: Iterable[Event],
        keep: Callable[[Event], None] = lambda _: None,
    ) -> None:
        super().__init__(happened, keep)
        self.case, self.knowledge = case, knowledge
        self.opened = OpenCase(case, knowledge)
        for finding in self.attempt.looks:
            if finding not in knowledge.findings:
                raise DiagnoseError(f"The rules hold no finding '{finding}' any more; this case cannot go on.")
            self.opened.look(finding)
        self._finish()

    def _finish(self) -> None:
        """Mark what is all said; when the program was killed just before, that is done when it is taken up again."""
        if self.attempt.stage == "marked":
            self._close(results.open_result(self))

    def act(self, step: str) -> None:
        """Take a step of the safety ladder."""
        self._happens(Acted(step))

    def look(self, finding: str) -> Look:
        """Look at a finding; raises DiagnoseError when it is known already or not the operator's to look at."""
        if finding not in {one.id for one in self.opened.left()}:
            raise DiagnoseError("That is known already, or not yours to look at on this machine.")
        self._happens(Looked(finding))
        return self.opened.look(finding)

    def hint(self) -> str:
        """Return the subsystem where the most telling check is; "" when no check would tell much. It costs marks."""
        self._happens(Hinted())
        candidate = None if self.opened.settled else self.opened.best()
        return self.knowledge.findings[candidate.finding].subsystem if candidate else ""

    def ready(self, *, time_up: bool = False) -> None:
        """Make no more checks."""
        self._happens(Ready(time_up))

    def state(self, shares: Mapping[str, float]) -> None:
        """Name causes, each with how sure he is (0..1); "" is what the rules do not cover."""
        if not 1 <= len(shares) <= MOST_CAUSES:
            raise DiagnoseError(f"Name one to {MOST_CAUSES} causes.")
        self._happens(Stated(tuple(shares.items())))

    def decide(self, own: Sequence[int], tell: str) -> None:
        """Say what he would do himself, in order, and whom he would tell; that ends the case."""
        self._happens(Decided(tuple(own), tell))
        self._finish()

    @property
    def left(self) -> list[Finding]:
        """What can still be looked at."""
        return self.opened.left()

    @property
    def minutes(self) -> float:
        """What the checks made so far have cost."""
        return sum(look.choice.minutes for look in self.opened.looks)

    @cached_property
    def offers(self) -> tuple[Offer, ...]:
        """What may be done about it, in the order shown; asked for when all checks are made."""
        return handling.offers(self.opened, self.attempt.begun.seed or self.case.id)

    @cached_property
    def own_path(self) -> OpenCase:
        """The case as the program's own questions uncover it."""
        return walk(self.case, self.knowledge, self.case.expect.within_questions)

    @cached_property
    def marks(self) -> Marks:
        """The marks; ask for them when the case is ended."""
        attempt = self.attempt
        own_minutes = sum(look.choice.minutes for look in self.own_path.looks)
        handled = (self.offers, attempt.own or (), attempt.tell)
        return mark(self.opened, attempt.acts, attempt.stated or {}, handled, own_minutes, attempt.hints)


class PuzzleQuiz(Quiz):
    """A closed question: one choice, or an order."""

    def __init__(
        self, puzzle: Puzzle, happened: Iterable[Event], keep: Callable[[Event], None] = lambda _: None
    ) -> None:
        super().__init__(happened, keep)
        self.puzzle = puzzle
        self._finish()

    def _finish(self) -> None:
        if self.attempt.stage == "marked":
            self._close(results.puzzle_result(self))

    def choose(self, options: Sequence[int]) -> None:
        """Answer; that ends the question. Raises DiagnoseError for options that are not there."""
        wanted = len(self.puzzle.options) if self.puzzle.ordering else 1
        if len(set(options)) != wanted or not all(0 <= one < len(self.puzzle.options) for one in options):
            raise DiagnoseError("Put all of them in order." if self.puzzle.ordering else "Choose one of them.")
        self._happens(Chosen(tuple(options)))
        self._finish()

    @property
    def marks(self) -> PuzzleMark:
        """The mark of the answer given."""
        return mark_puzzle(self.puzzle, self.attempt.chosen or ())
