"""``diagnose quiz debrief``: an ended case gone over again, in lines or as a page."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, NamedTuple

from diagnose.commands import quiz_files, quiz_names, wiring
from diagnose.commands.quiz_serving import Library, quiz_of
from diagnose.training import debrief_wording, mark_wording
from diagnose.training.attempt import Begun, event_from
from diagnose.training.debrief import debrief
from diagnose.training.quiz import OpenQuiz, PuzzleQuiz
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterator

    from diagnose.journal.store import Journal
    from diagnose.knowledge.model import Knowledge
    from diagnose.training.attempt import Event

__all__ = ["run"]


class _Ended(NamedTuple):
    """An attempt that was ended: its events, when it ended, and under which rules it began."""

    begun: Begun
    happened: list[Event]
    at: str
    rules: str


def run(arguments: Namespace) -> int:
    """Print the debrief, or write its page."""
    from diagnose.journal.store import open_to_read

    knowledge = wiring.open_knowledge(arguments)
    ended = _ended(open_to_read(wiring.journal_path(arguments)), arguments)
    if ended.rules != knowledge.revision:
        if ended.begun.origin == "made":
            mend = "'diagnose quiz make --seed' writes cases to files, which stay as they are."
            raise DiagnoseError("The rules have changed since; a case made from them cannot be drawn again.", mend=mend)
        print("diagnose: the rules have changed since; marks may differ.", file=sys.stderr)  # noqa: T201 - the door speaks
    quiz = quiz_of(ended.begun, ended.happened, Library(knowledge, arguments), knowledge)
    if arguments.page:
        _write_page(arguments, quiz, knowledge, ended)
    else:
        for line in _lines(quiz, knowledge):
            wiring.say(line)
    return 0


def _ended(journal: Journal, arguments: Namespace) -> _Ended:
    """Return the attempt asked for, or the latest that was ended."""
    wanted = arguments.attempt
    path = quiz_names.names_path(arguments)
    trainee = quiz_names.id_of(arguments.trainee, path, make=False) if arguments.trainee else ""
    runs = journal.runs("quiz")
    if wanted and wanted not in runs:
        mend = did_you_mean(wanted, runs, few=0) or "'diagnose quiz results --csv -' lists them."
        raise DiagnoseError(f"There is no attempt '{wanted}'.", mend=mend)
    for run in [wanted] if wanted else reversed(runs):
        kept = journal.events(run, "quiz")
        happened = [event_from(dict(one.body)) for one in kept]
        begun = happened[0]
        if kept[-1].body["kind"] == "Closed" and isinstance(begun, Begun) and trainee in ("", begun.trainee):
            return _Ended(begun, happened, kept[-1].at, kept[0].rules)
    if wanted:
        raise DiagnoseError(f"The attempt '{wanted}' was not ended.", mend="End it: diagnose quiz run --resume.")
    raise DiagnoseError("No case has been ended yet.")


def _lines(quiz: OpenQuiz | PuzzleQuiz, knowledge: Knowledge) -> Iterator[str]:
    if isinstance(quiz, OpenQuiz):
        yield from mark_wording.mark_lines(quiz)
        yield from debrief_wording.debrief_lines(debrief(quiz), knowledge)
    else:
        yield from mark_wording.puzzle_mark_lines(quiz, knowledge)


def _write_page(arguments: Namespace, quiz: OpenQuiz | PuzzleQuiz, knowledge: Knowledge, ended: _Ended) -> None:
    from diagnose.reports.debrief import open_page, puzzle_page
    from diagnose.reports.html import page

    begun = ended.begun
    known = quiz_names.names(quiz_names.names_path(arguments)) if arguments.names else {}
    who = known.get(begun.trainee, begun.trainee) or (f"team {begun.team}" if begun.team else "not named")
    if isinstance(quiz, OpenQuiz):
        document = open_page(quiz, who, ended.at)
    else:
        document = puzzle_page(quiz, knowledge, who, ended.at)
    quiz_files.write(arguments.page, page(document))
