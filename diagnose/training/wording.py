"""Sentences of quizzes, shared by screens and pages: what is asked, what may be answered, how it is marked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.next_question import ROUND_TRIP
from diagnose.consultation.replay import machine_of
from diagnose.consultation.saying import answer_words, titled
from diagnose.consultation.wording import plain

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.consultation.events import Answer
    from diagnose.knowledge.model import Case, Knowledge
    from diagnose.training.puzzles import Option, Puzzle
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
    "option_words",
    "puzzle_lines",
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
    """Return a check as it is chosen: its question and the minutes it costs, there and back."""
    finding = knowledge.findings[name]
    return f"{finding.ask} ({ROUND_TRIP + finding.effort:.0f} min)"


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
        usual, now = next((usual, now) for name, usual, now in puzzle.table if name == option.id)
        return f"{titled(knowledge.findings[option.id])}: usual {usual}, now {now}"
    return check_words(option.id, knowledge)


def puzzle_lines(puzzle: Puzzle, knowledge: Knowledge) -> Iterator[str]:
    """Say what a closed question is about."""
    machine = knowledge.site.machines.get(puzzle.machine)
    yield f"{puzzle.machine}{f' {machine.title}' if machine else ''}, {plain(puzzle.phase)}."
    if puzzle.known:
        told = (f"{titled(knowledge.findings[name])}: {words}" for name, words in puzzle.known)
        yield "Known: " + "; ".join(told) + "."


def source_words(source: str, knowledge: Knowledge) -> str:
    """Return a source with its short name spelt out: 'some-guide, chapter 1' as the guide's title and the chapter."""
    name, comma, clause = source.partition(",")
    return f"{knowledge.sources.get(name, name)}{comma}{clause}"


def standing_words(one: Standing) -> str:
    """Say where somebody stands, with the interval."""
    cases = f"{one.cases} case{'s' if one.cases != 1 else ''}"
    interval = f" (95 % interval {one.low:.0f} to {one.high:.0f})" if one.cases > 1 else ""
    return f"{cases}, mean mark {one.mean:.0f}{interval}, unsafe {one.unsafe}: {LEVEL_WORDS[one.level]}"
