"""Sentences of quizzes, shared by screens and pages: what is asked, why a mark is what it is, what to learn from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.replay import machine_of
from diagnose.consultation.saying import answer_words, titled
from diagnose.consultation.wording import RANK_WORDS, plain
from diagnose.training.marking import HINT, WEIGHTS

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.consultation.events import Answer
    from diagnose.knowledge.model import Case, Knowledge
    from diagnose.training.debrief import Debrief, Step
    from diagnose.training.marking import Marks
    from diagnose.training.open_case import Choice
    from diagnose.training.puzzles import Option, Puzzle
    from diagnose.training.quiz import OpenQuiz, PuzzleQuiz
    from diagnose.training.standing import Standing

__all__ = [
    "ASKED",
    "FORMAT_WORDS",
    "LEVEL_WORDS",
    "METHOD",
    "STEP_WORDS",
    "TELL_WORDS",
    "case_lines",
    "cause_words",
    "check_words",
    "choice_words",
    "debrief_lines",
    "mark_lines",
    "option_words",
    "puzzle_lines",
    "puzzle_mark_lines",
    "said",
    "source_words",
    "standing_words",
]

STEP_WORDS = {
    "look": "Nothing at once: look further first",
    "call": "Leave the machine as it is and call the supervisor now",
    "hold": "Do not start, or do not go on with the start; tell the supervisor",
    "stop": "Stop the machine now by the local procedure; tell the supervisor",
}
TELL_WORDS = {
    "nobody": "Nobody",
    "supervisor": "The supervisor",
    "maintenance": "Maintenance",
    "both": "The supervisor and maintenance",
}
FORMAT_WORDS = {
    "open": "open diagnosis",
    "next-check": "choose the next check",
    "first-action": "choose the first action",
    "odd-reading": "find the odd reading",
    "start-order": "put the start in order",
}
ASKED = {
    "next-check": "Which check would you make next?",
    "first-action": "What do you do now, before anything else?",
    "odd-reading": "One reading is not as it should be. Which?",
    "start-order": "Put these checks of a start in order: all numbers, first to last, with spaces between.",
}
LEVEL_WORDS = {
    "too-few": "no level yet (fewer than 20 cases)",
    "unsafe": "not passed: unsafe in one of the last 20 cases",
    "not-passed": "not passed: the interval reaches below the pass mark",
    "passed": "passed",
}
METHOD = (
    "Safety counts 40, accuracy 30, economy of checks 20, order of actions 10. An unsafe case counts 0.",
    "Safety: what a caution demands is done before the next check; late counts half.",
    "A stop that nothing demands costs a quarter; calling somebody costs nothing.",
    "Accuracy: the quadratic score of Brier (1950) on each cause named. Stating what you really believe pays best.",
    "Certainty marks stand beside it: right 1, 2, 3 and wrong 0, -2, -6 for less than 67 %, from 67 %, from 80 %.",
    "Economy: the expected information of your checks, over what the best open check would have told in the same time.",
    "No level is given from fewer than 20 cases, and always with its 95 % interval.",
)


def case_lines(case: Case, knowledge: Knowledge, known: Mapping[str, Answer], minutes: float) -> Iterator[str]:
    """Say where the case stands: machine, phase, what is reported, what was seen so far. Never what it is called."""
    machine = machine_of(case, knowledge)
    yield f"{machine.id} {machine.title}, {plain(case.phase)}."
    yield "Reported: " + "; ".join(said(name, known[name], knowledge) for name in case.reported if name in known) + "."
    yield from (f"On {other}: {_typed(told)}." for other, told in case.others.items())
    seen = [said(name, answer, knowledge) for name, answer in known.items() if name not in case.reported]
    if seen:
        yield "Seen: " + "; ".join(seen) + "."
    yield f"Minutes used: {minutes:.0f}."


def said(name: str, answer: Answer, knowledge: Knowledge) -> str:
    """Return a finding with its answer."""
    finding = knowledge.findings[name]
    return f"{titled(finding)}: {answer_words(finding, answer, knowledge)}"


def _typed(told: Mapping[str, str]) -> str:
    return "; ".join(f"{plain(name)}: {plain(text)}" for name, text in told.items())


def check_words(name: str, knowledge: Knowledge) -> str:
    """Return a check as it is chosen: its question and the minutes of looking."""
    finding = knowledge.findings[name]
    return f"{finding.ask} ({finding.effort:.0f} min)"


def cause_words(name: str, knowledge: Knowledge) -> str:
    """Return a cause as it is named."""
    return knowledge.causes[name].title if name in knowledge.causes else "Something these rules do not cover"


def option_words(option: Option, puzzle: Puzzle, knowledge: Knowledge) -> str:
    """Return an option of a closed question in words."""
    if puzzle.format == "first-action":
        return STEP_WORDS[option.id]
    if puzzle.format == "start-order":
        return knowledge.findings[knowledge.checks[option.id].ask].ask
    if puzzle.format == "odd-reading":
        return titled(knowledge.findings[option.id])
    return check_words(option.id, knowledge)


def puzzle_lines(puzzle: Puzzle, knowledge: Knowledge) -> Iterator[str]:
    """Say what a closed question is about."""
    machine = knowledge.site.machines.get(puzzle.machine)
    yield f"{puzzle.machine}{f' {machine.title}' if machine else ''}, {plain(puzzle.phase)}."
    if puzzle.known:
        told = (f"{titled(knowledge.findings[name])}: {words}" for name, words in puzzle.known)
        yield "Known: " + "; ".join(told) + "."
    for name, usual, now in puzzle.table:
        yield f"{titled(knowledge.findings[name])}: usual {usual}, now {now}."


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


_UNSAFE = {
    "left-undone": "Unsafe: a stop or do-not-start was left undone. The case counts 0, however right the cause.",
    "not-yours": "Unsafe: you would have done yourself what is not yours to do. The case counts 0.",
}
_MET = {"in-time": "done in time", "late": "done late, after another check: half", "missed": "not done"}


def _safety_lines(marks: Marks, knowledge: Knowledge) -> Iterator[str]:
    safe = marks.safety
    yield f"Safety: {_of(safe.mark, 'safety')}."
    if not safe.demands:
        yield "No caution demanded anything at once."
    for one in safe.demands:
        caution = knowledge.cautions[one.caution]
        when = "from the report" if one.arose == 0 else f"after check {one.arose}"
        yield f"{RANK_WORDS[one.rank]}, {when}: {caution.say} {_capital(_MET[one.met])}."
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
        return "rightly first: it can settle whether the machine must stop."
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


def debrief_lines(told: Debrief, knowledge: Knowledge, full: str = "#", empty: str = ".") -> Iterator[str]:
    """Say the debrief: both paths drawn by how sure the true cause was, what findings were worth, what to read."""
    yield "How sure the true cause was, step by step (yours, then the program's):"
    for who, steps in (("you", told.trainee), ("program", told.program)):
        yield f"{_bar(told.first, full, empty)} {who}, at the start: {told.first:.0%}"
        yield from (f"{_bar(one.share, full, empty)} {who}, {_step_words(one, knowledge)}" for one in steps)
    if told.teaches:
        yield f"What it teaches: {told.teaches}"
    for one in told.read:
        seen = f"{plain(one.finding)} {plain(one.value)}"
        yield f"To read: rule {one.rule} ({seen}), {one.place}; source: {source_words(one.source, knowledge)}"
    if told.source:
        yield f"Source of the case: {source_words(told.source, knowledge)}"


def source_words(source: str, knowledge: Knowledge) -> str:
    """Return a source with its short name spelt out: 'some-guide, chapter 1' as the guide's title and the chapter."""
    name, comma, clause = source.partition(",")
    return f"{knowledge.sources.get(name, name)}{comma}{clause}"


def _step_words(one: Step, knowledge: Knowledge) -> str:
    worth = f"{one.decibans:+.0f} decibans for the true cause"
    return f"{titled(knowledge.findings[one.finding]).lower()}: {one.answer}; {one.share:.0%}, {worth}"


def _bar(share: float, full: str, empty: str) -> str:
    cells = round(10 * share)
    return full * cells + empty * (10 - cells)


def puzzle_mark_lines(quiz: PuzzleQuiz, knowledge: Knowledge) -> Iterator[str]:
    """Say the mark of a closed question, the right answer and why."""
    puzzle, marked = quiz.puzzle, quiz.marks
    yield f"Mark: {marked.total:.0f} of 100."
    if marked.unsafe:
        yield "Unsafe: a caution that says stop or do not start was not heeded."
    if puzzle.ordering:
        yield "A right order:"
        ordered = sorted(puzzle.options, key=lambda one: one.stage)
        yield from (
            f"{at}. {option_words(one, puzzle, knowledge)} ({plain(knowledge.checks[one.id].stage)})"
            for at, one in enumerate(ordered, 1)
        )
        return
    best = max(puzzle.options, key=lambda one: one.credit)
    yield f"Best: {option_words(best, puzzle, knowledge)}"
    for name in puzzle.because:
        if name in knowledge.cautions:
            yield f"{RANK_WORDS[knowledge.cautions[name].rank]}: {knowledge.cautions[name].say}"
    chosen = puzzle.options[(quiz.attempt.chosen or (0,))[0]]
    if chosen.choice:
        yield f"Your check: {choice_words(chosen.choice, knowledge)}"


def standing_words(one: Standing) -> str:
    """Say where somebody stands, with the interval."""
    cases = f"{one.cases} case{'s' if one.cases != 1 else ''}"
    interval = f" (95 % interval {one.low:.0f} to {one.high:.0f})" if one.cases > 1 else ""
    return f"{cases}, mean mark {one.mean:.0f}{interval}, unsafe {one.unsafe}: {LEVEL_WORDS[one.level]}"


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
