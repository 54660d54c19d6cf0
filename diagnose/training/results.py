"""What is kept of a marked attempt, and what many of them tell: of trainees, causes, findings and items."""

from __future__ import annotations

from math import nan
from typing import TYPE_CHECKING, Any, NamedTuple

from diagnose.training.standing import Standing, correlation, standing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from diagnose.training.quiz import OpenQuiz, PuzzleQuiz

__all__ = ["Item", "Result", "by", "items", "open_result", "puzzle_result", "result_from"]


class Result(NamedTuple):
    """One marked attempt, by its id in the journal.

    ``item`` names the question, ``parts`` hold marks 0..1, ``checks`` (finding, bits lost).
    """

    attempt: str
    item: str
    format: str
    trainee: str
    team: str
    course: str
    at: str
    mark: float
    unsafe: bool
    causes: tuple[str, ...]
    subsystem: str
    parts: Mapping[str, float]
    certainty: int
    checks: tuple[tuple[str, float], ...]
    minutes: float


class Item(NamedTuple):
    """How a question did.

    Attempts, difficulty (mean mark 0..1, the classical index: high is easy), discrimination (correlation of its
    mark with the mean of the same trainees' other marks; nan when it cannot be told).
    """

    item: str
    attempts: int
    difficulty: float
    discrimination: float


def open_result(quiz: OpenQuiz) -> dict[str, Any]:
    """Return what to keep of an open diagnosis."""
    marks, causes = quiz.marks, tuple(sorted(quiz.case.true_causes))
    return {
        "item": quiz.attempt.begun.case,
        "mark": marks.total,
        "unsafe": bool(marks.unsafe),
        "true": list(causes),
        "subsystem": quiz.knowledge.causes[causes[0]].subsystem if causes else "",
        "parts": {
            "safety": marks.safety.mark,
            "accuracy": marks.accuracy.mark,
            "economy": marks.economy.mark,
            "order": marks.handling.mark,
        },
        "certainty": marks.accuracy.certainty,
        "checks": [[look.finding, look.choice.regret] for look in quiz.opened.looks],
        "minutes": marks.economy.minutes,
        "own_minutes": marks.economy.own_minutes,
    }


def puzzle_result(quiz: PuzzleQuiz) -> dict[str, Any]:
    """Return what to keep of a closed question."""
    marked = quiz.marks
    return {
        "item": f"{quiz.puzzle.format}:{quiz.attempt.begun.case}",
        "mark": marked.total,
        "unsafe": marked.unsafe,
        "true": list(quiz.puzzle.causes),
        "subsystem": "",
        "parts": {},
        "certainty": 0,
        "checks": [],
        "minutes": 0.0,
    }


def result_from(attempt: str, begun: Mapping[str, Any], closed: Mapping[str, Any], at: str) -> Result:
    """Read a kept attempt: its id, the record of its beginning and the result of its end."""
    return Result(
        attempt=attempt,
        item=str(closed["item"]),
        format=str(begun["format"]),
        trainee=str(begun.get("trainee", "")),
        team=str(begun.get("team", "")),
        course=str(begun.get("course", "")),
        at=at,
        mark=float(closed["mark"]),
        unsafe=bool(closed["unsafe"]),
        causes=tuple(closed.get("true", ())),
        subsystem=str(closed.get("subsystem", "")),
        parts=dict(closed.get("parts", {})),
        certainty=int(closed.get("certainty", 0)),
        checks=tuple((str(name), float(bits)) for name, bits in closed.get("checks", ())),
        minutes=float(closed.get("minutes", 0.0)),
    )


def by(results: Iterable[Result], key: Callable[[Result], Sequence[str]]) -> dict[str, Standing]:
    """Return the standing of each group; ``key`` names the groups that a result belongs to."""
    groups: dict[str, list[tuple[float, bool]]] = {}
    for result in results:
        for name in key(result):
            groups.setdefault(name, []).append((result.mark, result.unsafe))
    return {name: standing(marks) for name, marks in sorted(groups.items())}


def items(results: Sequence[Result]) -> list[Item]:
    """Return the analysis of every question, hardest first. Several tries of one trainee count by their mean."""
    table: dict[str, dict[str, list[float]]] = {}
    for result in results:
        table.setdefault(result.item, {}).setdefault(result.trainee or result.team, []).append(result.mark)
    marks = {item: {who: sum(row) / len(row) for who, row in rows.items()} for item, rows in table.items()}
    counts = {item: sum(map(len, rows.values())) for item, rows in table.items()}
    analysed = [
        Item(item, counts[item], sum(rows.values()) / len(rows) / 100.0, _discrimination(item, marks))
        for item, rows in marks.items()
    ]
    return sorted(analysed, key=lambda one: (one.difficulty, one.item))


def _discrimination(item: str, marks: Mapping[str, Mapping[str, float]]) -> float:
    pairs = []
    for who, mark in marks[item].items():
        others = [rows[who] for name, rows in marks.items() if name != item and who in rows]
        if others:
            pairs.append((mark, sum(others) / len(others)))
    if len(pairs) < 3:  # noqa: PLR2004 - two points always lie on a line
        return nan
    return correlation([one for one, _ in pairs], [rest for _, rest in pairs])
