"""How sure the true cause was, minute by minute: the trainee's path and the program's own, over each other."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.reports.picture import Line, Mark, Picture, Shape, Words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

__all__ = ["Path", "Point", "paths"]

_LEFT, _RIGHT, _TOP, _FOOT = 84.0, 520.0, 40.0, 200.0
_WIDTH, _HEIGHT = 640.0, 262.0
_APART = 18.0  # least distance of two texts
_LEAST_MINUTES = 10.0


class Point(NamedTuple):
    """A check made: minutes since the beginning, share (0..1) afterwards, the rank of a caution it brought or ""."""

    minutes: float
    share: float
    caution: str = ""


class Path(NamedTuple):
    """One way through a case: whose (a word), the role it is drawn in, and its checks in order."""

    who: str
    role: str
    points: tuple[Point, ...]


def paths(name: str, first: float, yours: Path, programs: Path) -> Picture:
    """Draw both paths as steps from the share ``first``; checks are numbered, yours above, the program's below."""
    latest = max([_LEAST_MINUTES, *(point.minutes for path in (yours, programs) for point in path.points)])

    def across(minutes: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * minutes / latest

    shapes = list(_frame(latest))
    for path, row in ((programs, _FOOT + 18), (yours, _TOP - 14)):
        shapes += _steps(path, first, across)
        shapes += [Words(0, row, path.who, "note"), *_numbers(path, row, across)]
    shapes += _ends(first, yours, programs)
    told = "; ".join(_told(path, first) for path in (yours, programs))
    title = "How sure the true cause was, minute by minute"
    return Picture(name, _WIDTH, _HEIGHT, title, f"{told}.", tuple(shapes))


def _frame(latest: float) -> Iterator[Shape]:
    for share in (0.0, 0.5, 1.0):
        yield Line(_LEFT, _height(share), _RIGHT, _height(share), "axis" if share == 0 else "grid")
        yield Words(_LEFT - 8, _height(share) + 4, f"{share:.0%}", "note", "end")
    yield Words(_LEFT, _FOOT + 40, "0 minutes", "note")
    yield Words(_RIGHT, _FOOT + 40, f"{latest:.0f} minutes", "note", "end")
    yield Mark(_LEFT + 130, _FOOT + 36, 6, "call-supervisor")
    yield Words(_LEFT + 142, _FOOT + 40, "a caution came with this check", "note")


def _steps(path: Path, first: float, across: Callable[[float], float]) -> Iterator[Shape]:
    x, share = across(0.0), first
    for point in path.points:
        there = across(point.minutes)
        yield Line(x, _height(share), there, _height(share), path.role)
        yield Line(there, _height(share), there, _height(point.share), path.role)
        x, share = there, point.share
    for point in path.points:
        if point.caution:
            yield Mark(across(point.minutes), _height(point.share), 6, point.caution)


def _numbers(path: Path, row: float, across: Callable[[float], float]) -> Iterator[Shape]:
    """Yield the numbers of the checks; one that would touch the one before is left out."""
    last = -_APART
    for at, point in enumerate(path.points, 1):
        x = across(point.minutes)
        if x - last >= _APART:
            last = x
            yield Words(x, row, str(at), "number", "middle")


def _ends(first: float, yours: Path, programs: Path) -> Iterator[Shape]:
    """Write the last share of each path beside it, the higher one above."""
    rows = [(path, path.points[-1].share if path.points else first) for path in (yours, programs)]
    rows.sort(key=lambda pair: -pair[1])
    high, low = _height(rows[0][1]) + 4, _height(rows[1][1]) + 4
    low = max(low, high + _APART)
    for (path, share), y in zip(rows, (high, low), strict=True):
        yield Words(_RIGHT + 10, y, f"{path.who} {share:.0%}", "number")


def _height(share: float) -> float:
    return _FOOT - (_FOOT - _TOP) * share


def _told(path: Path, first: float) -> str:
    steps = ", ".join(f"{point.share:.0%} after {point.minutes:.0f} minutes" for point in path.points)
    return f"{path.who}: {first:.0%} at the start{f', {steps}' if steps else ''}"
