"""``diagnose quiz sheets``: questions to hand out and, in another file, their answers."""

from __future__ import annotations

import secrets
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.commands import quiz_files, wiring
from diagnose.commands.quiz_serving import Library, course_named, format_of, puzzle_for, wish_from
from diagnose.reports import training_sheets
from diagnose.training.attempt import Begun

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterator

    from diagnose.knowledge.model import Knowledge
    from diagnose.reports.training_sheets import Asked

__all__ = ["run"]


def run(arguments: Namespace) -> int:
    """Write both sheets into a folder."""
    from diagnose.reports.html import page

    knowledge = wiring.open_knowledge(arguments)
    asked = list(_asked(arguments, knowledge))
    key = secrets.token_hex(3)  # joins the two sheets; nothing can be worked out from it
    folder = Path(arguments.out)
    quiz_files.write(str(folder / "questions.html"), page(training_sheets.questions(asked, knowledge, key)))
    quiz_files.write(str(folder / "answers.html"), page(training_sheets.answers(asked, knowledge, key)))
    wiring.say("Keep the answers apart from the questions.")
    return 0


def _asked(arguments: Namespace, knowledge: Knowledge) -> Iterator[Asked]:
    seed = secrets.randbelow(10**6) if arguments.seed is None else arguments.seed
    cases = Library(knowledge, arguments)
    for number, (origin, name) in enumerate(_names(arguments, knowledge, cases, seed)):
        kind = format_of(arguments.format, number, seed)
        begun = Begun(kind, origin, name, seed=f"{seed} {number}")
        case = cases.case(origin, name)
        puzzle = None if kind == "open" else puzzle_for(begun, case, knowledge)
        yield training_sheets.Asked(case, puzzle)


def _names(arguments: Namespace, knowledge: Knowledge, cases: Library, seed: int) -> list[tuple[str, str]]:
    if arguments.course:
        course = course_named(arguments.course, arguments, cases.shipped())
        return [("shipped", name) for name in course.cases[: arguments.count]]
    if arguments.cases:
        return [(f"file:{arguments.cases}", name) for name in sorted(cases.of_path(arguments.cases))[: arguments.count]]
    wish = wish_from(arguments, knowledge)
    return [("made", "|".join((*wish, str(seed), str(number + 1)))) for number in range(arguments.count)]
