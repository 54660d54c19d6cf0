"""Why a mark is what it is, in sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.saying import titled
from diagnose.consultation.wording import RANK_WORDS, plain
from diagnose.training.marking import HINT, WEIGHTS
from diagnose.training.wording import TELL_WORDS, cause_words, option_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Knowledge
    from diagnose.training.marking import Marks
    from diagnose.training.open_case import Choice
    from diagnose.training.quiz import OpenQuiz, PuzzleQuiz

__all__ = ["MET_WORDS", "choice_words", "mark_lines", "puzzle_mark_lines"]

MET_WORDS = {"in-time": "done in time", "late": "done late, after another check: half", "missed": "not done"}
_UNSAFE = {
    "left-undone": "Unsafe: a stop or do-not-start was left undone. The case counts 0, however right the cause.",
    "not-yours": "Unsafe: you would have done yourself what is not yours to do. The case counts 0.",
}


def mark_lines(quiz: OpenQuiz) -> Iterator[str]:
    """Say the marks of an open diagnosis and why each is what it is."""
    marks, knowledge = quiz.marks, quiz.knowledge
    yield f"Mark: {marks.total:.0f} of 100{', passed' if marks.passed else ', not passed'}."
    if marks.unsafe:
        yield _UNSAFE[marks.unsafe]
    if quiz.attempt.time_up:
        yield "The time was up; no more checks could be made."
    yield from _safety_lines(marks, knowledge)
    yield from _accuracy_lines(quiz)
    yield from _economy_lines(quiz)
    yield from _order_lines(marks)
    if marks.hints:
        yield f"Hints: {marks.hints}, {marks.hints * HINT:.0f} off."


def _safety_lines(marks: Marks, knowledge: Knowledge) -> Iterator[str]:
    safe = marks.safety
    yield f"Safety: {_of(safe.mark, 'safety')}."
    if not safe.demands:
        yield "No caution demanded anything at once."
    for one in safe.demands:
        caution = knowledge.cautions[one.caution]
        when = "from the report" if one.arose == 0 else f"after check {one.arose}"
        yield f"{RANK_WORDS[one.rank]}, {when}: {caution.say} {_capital(MET_WORDS[one.met])}."
    if safe.needless:
        yield "Stopping or holding was more than anything demanded."


def _accuracy_lines(quiz: OpenQuiz) -> Iterator[str]:
    accurate, knowledge = quiz.marks.accuracy, quiz.knowledge
    truth = " and ".join(cause_words(cause, knowledge) for cause in sorted(accurate.truth))
    yield f"Accuracy: {_of(accurate.mark, 'accuracy')}. It was: {truth}."
    for cause, share in (quiz.attempt.stated or {}).items():
        verdict = "right" if cause in accurate.truth else "wrong"
        yield f"You said {cause_words(cause, knowledge)}: {share:.0%} sure, {verdict}."
    yield f"Certainty mark: {accurate.certainty:+d} (level {accurate.level})."


def _economy_lines(quiz: OpenQuiz) -> Iterator[str]:
    economic, knowledge = quiz.marks.economy, quiz.knowledge
    yield (
        f"Economy: {_of(economic.mark, 'economy')}. Your checks could tell {economic.bits:.1f} bits of "
        f"{economic.attainable:.1f} attainable, in {economic.minutes:.0f} minutes; the program takes "
        f"{economic.own_minutes:.0f}."
    )
    for at, look in enumerate(quiz.opened.looks, 1):
        why = choice_words(look.choice, knowledge)
        yield f"Check {at}, {titled(knowledge.findings[look.finding]).lower()}: {why}"
    name, bits = economic.left
    if name:
        yield f"You stopped while {plain(name)} could still have told {bits:.1f} bits."


def choice_words(choice: Choice, knowledge: Knowledge) -> str:
    """Say how a check compares with the best one that was open."""
    if not choice.best:
        return "the matter was settled already; these minutes told nothing more."
    if choice.safety_first:
        return "rightly first: it can settle whether the machine must stop, or raise a caution."
    if choice.pressing:
        first = titled(knowledge.findings[choice.best]).lower()
        return f"{first} comes first: it can settle whether the machine must stop, or raise a caution."
    if choice.regret < 0.05:  # noqa: PLR2004 - no difference that anybody would see
        return f"as good as any ({choice.bits:.2f} bits in {choice.minutes:.0f} minutes)."
    first, second = (cause_words(cause, knowledge) for cause in choice.rivals)
    better = titled(knowledge.findings[choice.best]).lower()
    lost = f"{choice.regret:.2f} bits lost"
    if not choice.apart[0] and choice.apart[1]:
        return f"it could not separate '{first}' and '{second}'; {better} would have ({lost})."
    return f"{better} would have told more in the same time ({lost})."


def _order_lines(marks: Marks) -> Iterator[str]:
    done = marks.handling
    yield f"What to do: {_of(done.mark, 'order')}."
    for title, rows in (
        ("Left out", done.omitted),
        ("Not for this cause", done.useless),
        ("Not yours to do", done.forbidden),
    ):
        yield from (f"{title}: {text}" for text in rows)
    if done.in_order < 1:
        yield "Order: what a caution wants comes first, then what the signs want, then what puts the cause right."
    if not done.told:
        yield f"To be told: {TELL_WORDS[done.to_tell].lower()}."


def _of(part: float, name: str) -> str:
    return f"{WEIGHTS[name] * part:.0f} of {WEIGHTS[name]:.0f}"


def puzzle_mark_lines(quiz: PuzzleQuiz, knowledge: Knowledge) -> Iterator[str]:
    """Say the mark of a closed question, the right answer and why."""
    puzzle, marked = quiz.puzzle, quiz.marks
    yield f"Mark: {marked.total:.0f} of 100."
    if marked.unsafe:
        yield "Unsafe: a caution that says stop or do not start was not heeded."
    if puzzle.ordering:
        yield "A right order; checks of one stage may stand in any order:"
        ordered = sorted(puzzle.options, key=lambda one: one.stage)
        yield from (
            f"{at}. {option_words(one, puzzle, knowledge)} ({plain(knowledge.checks[one.id].stage)})"
            for at, one in enumerate(ordered, 1)
        )
        return
    best = max(puzzle.options, key=lambda one: one.credit)
    chosen = puzzle.options[(quiz.attempt.chosen or (0,))[0]]
    if chosen.credit < best.credit:
        yield f"You said: {option_words(chosen, puzzle, knowledge)}"
    yield f"Best: {option_words(best, puzzle, knowledge)}"
    for name in puzzle.because:
        if name in knowledge.cautions:
            yield f"{RANK_WORDS[knowledge.cautions[name].rank]}: {knowledge.cautions[name].say}"
    if chosen.choice:
        yield f"Your check: {choice_words(chosen.choice, knowledge)}"


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
