"""What is drawn: shares of causes, weights of evidence, a reading between its limits, counts, a span of time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from diagnose.reports.picture import Bar, Line, Mark, Picture, Shape, Words, shortened

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Level", "counts", "gauge", "shares", "span", "weights"]

_WIDTH = 640.0
_ROW = 40.0
_LETTER = 7.0  # the usual width of a letter, in the units of a drawing
_STRONG = 20.0  # decibans: "decisive" in Jeffreys' grades; the scale reaches at least so far


def shares(name: str, rows: Sequence[tuple[str, float, str]]) -> Picture:
    """Draw shares (label, 0..1, role) as bars, in their order."""
    shapes: list[Shape] = []
    for at, (label, share, role) in enumerate(rows):
        top = at * _ROW
        shapes += [
            Words(0, top + 14, shortened(f"{at + 1}. {label}", 82)),
            Bar(0, top + 20, _WIDTH - 60, 12, "track"),
            Bar(0, top + 20, max(1.0, (_WIDTH - 60) * share), 12, role),
            Words(_WIDTH, top + 31, f"{share:.0%}", "number", "end"),
        ]
    told = "; ".join(f"{label.rstrip('.')}: {share:.0%}" for label, share, _ in rows)
    return Picture(name, _WIDTH, len(rows) * _ROW, "Likely causes as bars", f"{told}.", tuple(shapes))


def weights(name: str, title: str, rows: Sequence[tuple[str, float]]) -> Picture:
    """Draw weights of evidence (label, decibans) to the right of a middle line when for, to the left when against."""
    middle, reach = _WIDTH / 2, _WIDTH / 2 - 60
    most = max([_STRONG, *(abs(weight) for _, weight in rows)])
    shapes: list[Shape] = [
        Words(middle - 12, 14, "against", "note", "end"),
        Words(middle + 12, 14, "for", "note"),
    ]
    for at, (label, weight) in enumerate(rows):
        top, length = 22 + at * _ROW, reach * abs(weight) / most
        left = middle if weight >= 0 else middle - length
        end, anchor = (middle + length + 6, "start") if weight >= 0 else (middle - length - 6, "end")
        shapes += [
            Words(0, top + 14, shortened(label, 82)),
            Bar(left, top + 20, max(1.0, length), 12, "for" if weight >= 0 else "against"),
            Words(end, top + 31, f"{weight:+.1f}", "number", anchor),
            Line(middle, top + 18, middle, top + 34, "axis"),
        ]
    told = "; ".join(f"{label}: {weight:+.1f}" for label, weight in rows)
    return Picture(name, _WIDTH, 26 + len(rows) * _ROW, title, f"In decibans. {told}.", tuple(shapes))


@dataclass(frozen=True, slots=True)
class Level:
    """A number on a gauge: its value, its label, and its role: limit, usual or reading."""

    value: float
    label: str
    role: str


def gauge(name: str, title: str, levels: Sequence[Level], spread: float = 0.0) -> Picture:
    """Draw a reading on a line with its limits and its usual value; ``spread`` is the instrument's accuracy."""
    values = [level.value for level in levels]
    low, high = min(values) - 2 * spread, max(values) + 2 * spread
    room = (high - low or abs(high) or 1.0) * 0.12
    low, high = low - room, high + room

    def across(value: float) -> float:
        return 20 + (_WIDTH - 40) * (value - low) / (high - low)

    axis = 40.0
    shapes: list[Shape] = [Line(20, axis, _WIDTH - 20, axis, "axis")]
    marked = sorted((level for level in levels if level.role != "reading"), key=lambda level: level.value)
    free: list[float] = []  # how far to the right each row of labels is taken
    for level in marked:
        x, wide = across(level.value), len(level.label) * _LETTER
        start = min(max(0.0, x - wide / 2), _WIDTH - wide)
        row = next((at for at, end in enumerate(free) if end <= start), len(free))
        free[row:row] = [0.0] if row == len(free) else []
        free[row] = start + wide + 12
        y = axis + 30 + row * 18
        shapes += [Line(x, axis - 10, x, y - 12, level.role), Words(start, y, level.label, "note")]
    for level in levels:
        if level.role == "reading":
            x, wide = across(level.value), len(level.label) * _LETTER
            if spread:
                half = (_WIDTH - 40) * spread / (high - low)
                shapes.append(Bar(x - half, axis - 5, 2 * half, 10, "spread"))
            start = min(max(0.0, x - wide / 2), _WIDTH - wide)
            shapes += [Mark(x, axis, 8, "reading"), Words(start, axis - 18, level.label, "number")]
    told = "; ".join(level.label for level in levels)
    return Picture(name, _WIDTH, axis + 40 + 18 * max(0, len(free) - 1), title, f"{told}.", tuple(shapes))


def counts(name: str, title: str, rows: Sequence[tuple[str, int]]) -> Picture:
    """Draw counts (label, number) as bars."""
    most = max([1, *(number for _, number in rows)])
    shapes: list[Shape] = []
    for at, (label, number) in enumerate(rows):
        top = at * _ROW
        shapes += [
            Words(0, top + 14, shortened(label, 82)),
            Bar(0, top + 20, max(1.0, (_WIDTH - 60) * number / most), 12, "count"),
            Words(_WIDTH, top + 31, str(number), "number", "end"),
        ]
    told = "; ".join(f"{label.rstrip('.')}: {number}" for label, number in rows)
    return Picture(name, _WIDTH, max(1, len(rows)) * _ROW, title, f"{told}.", tuple(shapes))


def span(
    name: str, title: str, ends: tuple[str, str], rows: Sequence[tuple[str, Sequence[tuple[float, str]]]]
) -> Picture:
    """Draw what happened when: a line for each label with marks (place in the span 0..1, role)."""
    left = 110.0
    shapes: list[Shape] = []
    for at, (label, marks) in enumerate(rows):
        y = 20 + at * 30
        shapes += [Words(0, y + 5, shortened(label, 15)), Line(left, y, _WIDTH - 10, y, "axis")]
        shapes += [Mark(left + (_WIDTH - 10 - left) * place, y, 7, role) for place, role in marks]
    foot = 20 + len(rows) * 30
    shapes += [Words(left, foot + 8, ends[0], "note"), Words(_WIDTH - 10, foot + 8, ends[1], "note", "end")]
    told = "; ".join(f"{label}: {len(marks)}" for label, marks in rows)
    return Picture(name, _WIDTH, foot + 16.0, title, f"From {ends[0]} to {ends[1]}. {told}.", tuple(shapes))
