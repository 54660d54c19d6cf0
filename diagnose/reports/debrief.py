"""A debrief as a page: the case, both paths drawn and in tables, the marks and why, what to learn and to read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.saying import titled
from diagnose.consultation.wording import RANK_WORDS, plain
from diagnose.reports.debrief_chart import Path, Point, paths
from diagnose.reports.document import Alert, Block, Document, Facts, Figure, Items, Para, Section, Table
from diagnose.training import debrief_wording, mark_wording, wording
from diagnose.training.debrief import debrief
from diagnose.training.mark_wording import MET_WORDS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from diagnose.knowledge.model import Knowledge
    from diagnose.training.debrief import Debrief, Step
    from diagnose.training.quiz import OpenQuiz, PuzzleQuiz

__all__ = ["open_page", "puzzle_page"]

_CLOSING = (
    "Practice only: at the machine, local procedures and your supervisor come first.",
    "Bits are of information (Shannon 1948), by the same beliefs that a consultation asks by.",
)
_COLUMNS = (
    "Could tell: what the check was expected to tell when it was chosen.",
    "Best: what the best check open then would have told in the same minutes.",
    "Told: the logarithm to base 2 of the true cause's share after it over its share before; below 0 where it misled.",
)


def open_page(quiz: OpenQuiz, who: str, at: str) -> Document:
    """Return the debrief of an ended open diagnosis; ``who`` practised, ``at`` (ISO 8601) it ended."""
    told, knowledge = debrief(quiz), quiz.knowledge
    sections = (
        Section("case", "The case", tuple(_case(quiz, who, at))),
        Section("paths", "Two ways through it", tuple(_paths(told, knowledge))),
        Section("lesson", "What it teaches", (Items(tuple(debrief_wording.lesson_lines(told, knowledge))),)),
        Section("marks", "The mark and why", (Items(tuple(mark_wording.mark_lines(quiz))),)),
        Section("read", "What to read", tuple(_read(told, knowledge))),
        Section("method", "How it was marked", (Items(wording.METHOD),)),
    )
    return Document("Debrief", f"{quiz.opened.machine.id}, {plain(quiz.case.phase)}, {at[:10]}", sections, _CLOSING)


def puzzle_page(quiz: PuzzleQuiz, knowledge: Knowledge, who: str, at: str) -> Document:
    """Return the debrief of an answered closed question."""
    puzzle = quiz.puzzle
    chosen = [wording.option_words(puzzle.options[one], puzzle, knowledge) for one in quiz.attempt.chosen or ()]
    about = Facts((("Who", who), ("Kind", wording.FORMAT_WORDS[puzzle.format]), ("Answer", "; then ".join(chosen))))
    sections = (
        Section("case", "The question", (Items(tuple(wording.puzzle_lines(puzzle, knowledge))), about)),
        Section("marks", "The mark and why", (Items(tuple(mark_wording.puzzle_mark_lines(quiz, knowledge))),)),
    )
    return Document("Debrief", f"{puzzle.machine}, {plain(puzzle.phase)}, {at[:10]}", sections, _CLOSING[:1])


def _case(quiz: OpenQuiz, who: str, at: str) -> Iterator[Block]:
    knowledge, marks = quiz.knowledge, quiz.marks
    first = {name: quiz.opened.known[name] for name in quiz.case.reported}
    yield Para(" ".join(list(wording.case_lines(quiz.case, knowledge, first, 0.0))[:-1]))
    truth = [wording.cause_words(cause, knowledge) for cause in sorted(quiz.case.true_causes) or [""]]
    economy = marks.economy
    yield Facts(
        (
            ("It was", " and ".join(truth)),
            ("Mark", f"{marks.total:.0f} of 100, {'passed' if marks.passed else 'not passed'}"),
            ("Who", who),
            ("Ended", at[:16].replace("T", " ")),
            ("Checks", f"{len(quiz.opened.looks)} in {economy.minutes:.0f} minutes"),
            ("The program's", f"{len(quiz.own_path.looks)} in {economy.own_minutes:.0f} minutes"),
        )
    )
    for demand in marks.safety.demands:
        caution = knowledge.cautions[demand.caution]
        yield Alert(demand.rank, RANK_WORDS[demand.rank], caution.say, (caution.do, f"You: {MET_WORDS[demand.met]}."))


def _paths(told: Debrief, knowledge: Knowledge) -> Iterator[Block]:
    yours = Path("You", "yours", tuple(_points(told.trainee, knowledge)))
    programs = Path("Program", "programs", tuple(_points(told.program, knowledge)))
    yield Figure(paths("paths-drawn", told.first, yours, programs))
    yield _table("Your checks", told.trainee, knowledge)
    yield _table("The program's own checks", told.program, knowledge)
    yield Items(_COLUMNS)


def _points(steps: Sequence[Step], knowledge: Knowledge) -> Iterator[Point]:
    order = list(RANK_WORDS)
    for one in steps:
        ranks = sorted((knowledge.cautions[name].rank for name in one.cautions), key=order.index)
        yield Point(one.ended, one.share, ranks[0] if ranks else "")


def _table(caption: str, steps: Sequence[Step], knowledge: Knowledge) -> Block:
    if not steps:
        return Para(f"{caption}: none.")
    rows = tuple(_row(at, one, knowledge) for at, one in enumerate(steps, 1))
    columns = ("Check", "It showed", "Minutes", "Could tell, bits", "Best, bits", "Told, bits", "True cause then")
    return Table(caption, columns, rows, frozenset(range(2, 7)))


def _row(at: int, one: Step, knowledge: Knowledge) -> tuple[str, ...]:
    choice = one.choice
    best = f"{choice.best_bits:.2f}" if choice.best else "none open"
    numbers = (f"{choice.minutes:.0f}", f"{choice.bits:.2f}", best, f"{one.told:+.2f}", f"{one.share:.0%}")
    return (f"{at}. {titled(knowledge.findings[one.finding])}", one.answer, *numbers)


def _read(told: Debrief, knowledge: Knowledge) -> Iterator[Block]:
    rows = tuple(
        (
            f"{one.kind} {one.id}",
            " ".join(map(plain, one.because)),
            one.place,
            wording.source_words(one.source, knowledge),
        )
        for one in told.read
    )
    if rows:
        yield Table("Rules, causes and cautions of this case", ("What", "Because of", "Where", "Source"), rows)
    if told.source:
        yield Para(f"Source of the case: {wording.source_words(told.source, knowledge)}")
