"""Pages for trainers made on the shipped rules: debriefs of cases done in different ways, a record, sheets."""

from __future__ import annotations

from functools import cache

from diagnose.knowledge import library
from diagnose.reports.debrief import open_page, puzzle_page
from diagnose.reports.training import standing_page
from diagnose.reports.training_sheets import Asked, answers, questions
from diagnose.training.attempt import Begun
from diagnose.training.puzzles import first_action
from diagnose.training.quiz import OpenQuiz, PuzzleQuiz
from diagnose.training.results import Result
from diagnose.training.round_sheet import odd_reading
from diagnose.training.start_order import start_order
from tests.reports.pages import HOSTILE

AT = "2026-03-02T12:00:00.000+00:00"


@cache
def knowledge():
    """Return the shipped knowledge with the demo site."""
    return library.load(site=library.demo_site()).knowledge


@cache
def cases():
    """Return the cases of the course by id."""
    return {one.id: one for one in library.load_cases([library.shipped_cases() / "course"], knowledge())[0]}


def done(name: str, looks: int, order: int = 1) -> OpenQuiz:
    """Return a case after so many checks in the order of the rules (-1: from their end), with the truth named."""
    case = cases()[name]
    quiz = OpenQuiz(case, knowledge(), [Begun("open", "shipped", case.id)])
    quiz.act("hold")
    for _ in range(looks):
        quiz.look(quiz.left[::order][0].id)
    quiz.ready()
    quiz.state(dict.fromkeys(sorted(case.true_causes)[:3] or [""], 0.7))
    quiz.decide([0], "both")
    return quiz


def debriefed():
    """Return the debrief of a case with several checks."""
    return open_page(done("course-wet-line", 6), "t-0001", AT)


def long_debrief():
    """Return the debrief of somebody who looked at everything, whose name is hostile."""
    return open_page(done("course-creeping-after-the-stop", 40, -1), HOSTILE, AT)


def short_debrief():
    """Return the debrief of somebody who looked at nothing."""
    return open_page(done("course-oil-low-before-the-start", 0), "t-0001", AT)


def puzzle_debrief():
    """Return the debrief of a closed question."""
    case = cases()["course-oil-low-before-the-start"]
    quiz = PuzzleQuiz(first_action(case, knowledge(), "x"), [Begun("first-action", "shipped", case.id)])
    quiz.choose([0])
    return puzzle_page(quiz, knowledge(), "t-0001", AT)


def record():
    """Return the record of one trainee with 25 cases."""
    marks = [(40.0 + 2 * at, at == 3) for at in range(25)]
    rows = [
        Result("a", "b", "open", "t-1", "", "operator", AT, mark, unsafe, ("c",), "", {}, 1, (), 9.0)
        for mark, unsafe in marks
    ]
    return standing_page({"Nora Example": rows})


def question_sheet():
    """Return questions of two kinds."""
    return questions(_asked(), knowledge(), "abc123")


def answer_sheet():
    """Return their answers."""
    return answers(_asked(), knowledge(), "abc123")


def _asked():
    case = cases()["course-wet-line"]
    machine = knowledge().site.machines["FDF-1"]
    puzzles = (
        first_action(case, knowledge(), "x"),
        odd_reading(knowledge(), machine, "4"),
        start_order(knowledge(), machine, "4"),
    )
    return [Asked(case, None), *(Asked(case, puzzle) for puzzle in puzzles), Asked(case, None), Asked(case, puzzles[1])]


PAGES = {
    "debrief": debriefed,
    "long debrief": long_debrief,
    "short debrief": short_debrief,
    "puzzle debrief": puzzle_debrief,
    "training record": record,
    "question sheet": question_sheet,
    "answer sheet": answer_sheet,
}
