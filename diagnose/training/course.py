"""A course: cases in an order with a pass mark, and which case is next for somebody.

A case that was missed is served again after a fixed number of others, until it has been passed twice running. Even
spacing is enough: schedules with growing gaps add next to nothing (Latimier, Peyre and Ramus 2021: g = 0.034), while
spacing as such does much (g = 0.74).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.values.names import did_you_mean, is_id
from diagnose.values.problem import Place, Problem
from diagnose.values.text import lines_of, one_line

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

__all__ = ["Course", "Part", "next_case", "progress", "read_course"]

RELEARNT = 2  # passes running after a miss
_KEYS = ("title", "pass-mark", "again-after", "part")


class Part(NamedTuple):
    """A chapter of a course: its title and its cases in order."""

    title: str
    cases: tuple[str, ...]


class Course(NamedTuple):
    """Cases in order, the mark that passes a case and the course, and after how many others a missed one comes back."""

    title: str
    parts: tuple[Part, ...]
    pass_mark: float = 60.0
    again_after: int = 4

    @property
    def cases(self) -> tuple[str, ...]:
        """Every case, in order."""
        return tuple(case for part in self.parts for case in part.cases)


def read_course(text: str, file: str, known: Collection[str]) -> tuple[Course, tuple[Problem, ...]]:
    """Read a course: lines ``title:``, ``pass-mark:``, ``again-after:``, ``part:``, and one case id a line; # comments.

    Every fault becomes a Problem with its place; ``known`` are the ids of the cases there are.
    """
    problems: list[Problem] = []
    settings: dict[str, str] = {}
    parts: list[tuple[str, list[str]]] = []
    seen: set[str] = set()
    for place, line in _lines(text, file):
        key, colon, rest = line.partition(":")
        if colon and key.strip() in _KEYS:
            if key.strip() == "part":
                parts.append((rest.strip(), []))
            else:
                settings[key.strip()] = rest.strip()
        elif fault := _fault(line, known, seen, place):
            problems.append(fault)
        else:
            seen.add(line)
            if not parts:
                parts.append(("", []))
            parts[-1][1].append(line)
    course = Course(
        settings.get("title", ""),
        tuple(Part(title, tuple(cases)) for title, cases in parts),
        _number(settings.get("pass-mark", "60"), "pass-mark", (1, 100), file, problems),
        int(_number(settings.get("again-after", "4"), "again-after", (1, 100), file, problems)),
    )
    if not course.cases:
        problems.append(Problem(Place(file, 1, 1), "empty-course", "The course lists no case.", "Write one id a line."))
    return course, tuple(sorted(problems))


def next_case(course: Course, served: Sequence[tuple[str, bool]]) -> str:
    """Return the case to serve next, "" when the course is done. ``served`` are (case, passed), oldest first."""
    due = [case for case in course.cases if _is_due(case, course.again_after, served)]
    if due:
        return min(due, key=lambda case: _last(case, served))
    done = {case for case, _ in served}
    fresh = next((case for case in course.cases if case not in done), "")
    return fresh or _soonest(course, served)


def progress(course: Course, served: Sequence[tuple[str, bool]]) -> tuple[int, int]:
    """Return how many cases are done for good, and how many there are."""
    done = {case for case, _ in served}
    return sum(case in done and not _is_missed(case, served) for case in course.cases), len(course.cases)


def _soonest(course: Course, served: Sequence[tuple[str, bool]]) -> str:
    """Return the missed case that has waited longest, when nothing new is left to stand between."""
    missed = [case for case in course.cases if _is_missed(case, served)]
    return min(missed, key=lambda case: _last(case, served), default="")


def _is_due(case: str, gap: int, served: Sequence[tuple[str, bool]]) -> bool:
    return _is_missed(case, served) and len(served) - 1 - _last(case, served) >= gap


def _is_missed(case: str, served: Sequence[tuple[str, bool]]) -> bool:
    latest_first = [passed for name, passed in reversed(served) if name == case]
    return False in latest_first and latest_first.index(False) < RELEARNT


def _last(case: str, served: Sequence[tuple[str, bool]]) -> int:
    return max((at for at, (name, _) in enumerate(served) if name == case), default=-1)


def _lines(text: str, file: str) -> Iterator[tuple[Place, str]]:
    for number, line in enumerate(lines_of(text), 1):
        bare = line.partition("#")[0].strip()
        if bare:
            yield Place(file, number, line.index(bare[0]) + 1), bare


def _fault(line: str, known: Collection[str], seen: Collection[str], place: Place) -> Problem | None:
    if not is_id(line):
        mend = f"Write a case id, or one of {', '.join(_KEYS)} with a colon."
        return Problem(place, "not-a-case", f"'{one_line(line)}' is not the id of a case.", mend)
    if line not in known:
        return Problem(place, "unknown-case", f"There is no case '{line}'.", did_you_mean(line, known))
    if line in seen:
        return Problem(place, "case-twice", f"Case '{line}' stands in the course twice.", "Delete one of them.")
    return None


def _number(text: str, key: str, within: tuple[int, int], file: str, problems: list[Problem]) -> float:
    low, high = within
    if text.isascii() and text.isdecimal() and low <= int(text) <= high:
        return float(text)
    says = f"'{key}' is '{one_line(text)}'."
    problems.append(Problem(Place(file, 1, 1), "not-a-number", says, f"Write a whole number from {low} to {high}."))
    return float(low)
