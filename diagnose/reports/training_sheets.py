"""Sheets to print: the questions without anything that tells the answers, and the answers on a page of their own."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation.saying import titled
from diagnose.consultation.wording import RANK_WORDS, plain
from diagnose.reports.document import Block, Document, Facts, Items, Para, Section, Table
from diagnose.training import wording
from diagnose.training.told import reported

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from diagnose.knowledge.model import Case, Knowledge
    from diagnose.training.puzzles import Puzzle

__all__ = ["Asked", "answers", "questions"]

_OPEN = (
    "What do you do now, before anything else?",
    "Which checks do you make, in which order? Ask your trainer for each answer.",
    "Which causes do you name, each with how sure you are (0 to 100 %)?",
    "What do you do yourself, first thing first? Whom do you tell?",
)
_CLOSING = "Practice only: at the machine, local procedures and your supervisor come first."


class Asked(NamedTuple):
    """One question: its case, and the closed question about it; None for an open diagnosis."""

    case: Case
    puzzle: Puzzle | None


def questions(asked: Sequence[Asked], knowledge: Knowledge, key: str) -> Document:
    """Return the sheet to hand out: no case id, no title, no cause, no right option."""
    sections = [_numbered(at, tuple(_question(at, one, knowledge))) for at, one in enumerate(asked, 1)]
    return Document("Questions", f"Sheet {key}", tuple(sections), (_CLOSING,))


def answers(asked: Sequence[Asked], knowledge: Knowledge, key: str) -> Document:
    """Return the trainer's sheet: what each check shows, what is right and why."""
    sections = [_numbered(at, tuple(_answer(at, one, knowledge))) for at, one in enumerate(asked, 1)]
    method = Section("method", "How to mark", (Items(wording.METHOD),))
    return Document("Answers: for the trainer only", f"Sheet {key}", (*sections, method), (_CLOSING,))


def _numbered(at: int, blocks: tuple[Block, ...]) -> Section:
    return Section(f"question-{at}", f"Question {at}", blocks)


def _question(at: int, one: Asked, knowledge: Knowledge) -> Iterator[Block]:
    if one.puzzle is None:
        known = dict(reported(one.case, knowledge))
        yield Para(" ".join(list(wording.case_lines(one.case, knowledge, known, 0.0))[:-1]))
        yield Items(_OPEN)
        return
    puzzle = one.puzzle
    yield Para(" ".join(wording.puzzle_lines(puzzle, knowledge)))
    yield Para(wording.ASKED[puzzle.format])
    if puzzle.table:  # its rows are the options
        rows = enumerate(puzzle.table, 1)
        numbered = tuple((f"{row}. {titled(knowledge.findings[name])}", usual, now) for row, (name, usual, now) in rows)
        yield Table(f"Question {at}: round sheet of {puzzle.machine}", ("Reading", "Usual", "Now"), numbered)
    else:
        yield Items(tuple(_numbered_options(puzzle, knowledge)))


def _numbered_options(puzzle: Puzzle, knowledge: Knowledge) -> Iterator[str]:
    """Yield the options as both sheets number them."""
    for number, option in enumerate(puzzle.options, 1):
        yield f"{number}. {wording.option_words(option, puzzle, knowledge)}"


def _answer(at: int, one: Asked, knowledge: Knowledge) -> Iterator[Block]:
    case = one.case
    if one.puzzle is None:
        causes = " and ".join(wording.cause_words(cause, knowledge) for cause in sorted(case.true_causes) or [""])
        cautions = "; ".join(knowledge.cautions[name].say for name in sorted(case.must_caution)) or "none"
        yield Facts((("Case", case.id), ("It was", causes), ("Cautions to heed", cautions)))
        rows = tuple((titled(knowledge.findings[name]), text.replace("-", " ")) for name, text in case.answers.items())
        rest = "not to be told" if case.unlisted == "unknown" else "normal"
        yield Table(f"Question {at}: what each check shows", ("Check", "Answer"), (*rows, ("every other check", rest)))
        yield from (Para(text) for text in (case.teaches, wording.source_words(case.source, knowledge)) if text)
        return
    puzzle = one.puzzle
    options = list(_numbered_options(puzzle, knowledge))
    if puzzle.ordering:
        in_order = sorted(zip(puzzle.options, options, strict=True), key=lambda pair: pair[0].stage)
        yield Para("A right order; checks of one stage may stand in any order:")
        yield Items(tuple(f"{text} ({plain(knowledge.checks[option.id].stage)})" for option, text in in_order))
        return
    rows = tuple((text, f"{o.credit:.0%}") for o, text in zip(puzzle.options, options, strict=True))
    yield Table(f"Question {at}: options and what each counts", ("Option", "Counts"), rows, frozenset([1]))
    heeded = [knowledge.cautions[name] for name in puzzle.because if name in knowledge.cautions]
    if heeded:
        yield Items(tuple(f"{RANK_WORDS[caution.rank]}: {caution.say}" for caution in heeded))
