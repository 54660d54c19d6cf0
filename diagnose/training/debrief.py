"""After the case: the trainee's path beside the program's own, what each finding was worth, and what to read."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation.saying import answer_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Knowledge, Rule
    from diagnose.training.open_case import Choice, Look, OpenCase
    from diagnose.training.quiz import OpenQuiz

__all__ = ["Debrief", "Reading", "Step", "debrief"]


class Step(NamedTuple):
    """One check on a path.

    What it showed, how it compared, its weight for the true causes in decibans, and the share of the least likely
    true cause afterwards.
    """

    finding: str
    answer: str
    choice: Choice
    decibans: float
    share: float


class Reading(NamedTuple):
    """A rule that ties what was seen to a true cause: its id, the finding and value, its source and where it stands."""

    rule: str
    finding: str
    value: str
    source: str
    place: str


class Debrief(NamedTuple):
    """All that is told afterwards. ``first`` is the share of the true causes before any check."""

    causes: tuple[str, ...]
    first: float
    trainee: tuple[Step, ...]
    program: tuple[Step, ...]
    read: tuple[Reading, ...]
    teaches: str
    source: str


def debrief(quiz: OpenQuiz) -> Debrief:
    """Return the debrief of an ended open diagnosis."""
    case = quiz.case
    truth = sorted(case.true_causes) or [""]
    return Debrief(
        causes=tuple(sorted(case.true_causes)),
        first=min(quiz.opened.first_shares.get(cause, 0.0) for cause in truth),
        trainee=tuple(_steps(quiz.opened, truth)),
        program=tuple(_steps(quiz.own_path, truth)),
        read=tuple(_to_read(quiz.own_path)),
        teaches=case.teaches,
        source=case.source,
    )


def _steps(opened: OpenCase, truth: list[str]) -> Iterator[Step]:
    for look in opened.looks:
        share = min(look.shares.get(cause, 0.0) for cause in truth)
        weight = sum(look.decibans.get(cause, 0.0) for cause in truth)
        yield Step(look.finding, _words(look, opened.knowledge), look.choice, weight, share)


def _words(look: Look, knowledge: Knowledge) -> str:
    return answer_words(knowledge.findings[look.finding], look.answer, knowledge)


def _to_read(opened: OpenCase) -> Iterator[Reading]:
    for rule in opened.situation.in_force():
        if rule.symptom and _ties(rule, opened):
            finding, value = rule.symptom
            yield Reading(rule.id, finding, value, rule.source, f"{rule.place.file}:{rule.place.line}")


def _ties(rule: Rule, opened: OpenCase) -> bool:
    finding, value = rule.symptom or ("", "")
    linked = any(link.cause in opened.case.true_causes for link in rule.links)
    return linked and value in opened.situation.values(finding)
