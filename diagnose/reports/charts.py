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
    labels, row = 270.0, 26.0
    middle = (labels + _WIDTH) / 2
    reach = (_WIDTH - labels) / 2 - 46
    most = max([_STRONG, *(abs(weight) for _, weight in rows)])
    shapes: list[Shape] = [
        Words(middle - 10, 14, "against", "note", "end"),
        Words(middle + 10, 14, "for", "note"),
    ]
    for at, (label, weight) in enumerate(rows):
        top, length = 22 + at * row, reach * abs(weight) / most
        left = middle if weight >= 0 else middle - length
        end, anchor = (middle + length + 6, "start") if weight >= 0 else (middle - length - 6, "end")
        shapes += [
            Words(0, top + 14, shortened(label, 38)),
            Bar(left, top + 4, max(1.0, length), 13, "for" if weight >= 0 else "against"),
            Words(end, top + 15, f"{weight:+.1f}", "number", anchor),
            Line(middle, top, middle, top + row - 4, "axis"),
        ]
    told = "; ".join(f"{label}: {weight:+.1f}" for label, weight in rows)
    return Picture(name, _WIDTH, 24 + len(rows) * row, title, f"In decibans. {told}.", tuple(shapes))


@dataclass(frozen=True, slots=True)
class Level:
    """A number on a gauge: its value, its label, and its role: limit, step, usual or reading."""

    value: float
    label: str
    role: str


def gauge(name: str, title: str, levels: Sequence[Level], spread: float = 0.0) -> Picture:
    """Draw a reading on a line with its limits and its usual value; ``spread`` is the instrument's accuracy.

    Labels stand to the right of their marks, the one furthest right on top, so that no mark crosses a label.
    """
    left, right, axis, row = 20.0, 340.0, 44.0, 18.0
    values = [level.value for level in levels]
    low, high = min(values) - 2 * spread, max(values) + 2 * spread
    room = (high - low or abs(high) or 1.0) * 0.05
    low, high = low - room, high + room

    def across(value: float) -> float:
        return left + (right - left) * (value - low) / (high - low)

    shapes: list[Shape] = [Line(left, axis, right, axis, "axis")]
    marked = sorted((level for level in levels if level.role != "reading"), key=lambda level: -level.value)
    for at, level in enumerate(marked):
        x, y = across(level.value), axis + 22 + at * row
        shapes += [Line(x, axis - 8, x, y, level.role), Words(x + 6, y, shortened(level.label, 46), "note")]
    for level in levels:
        if level.role == "reading":
            x = across(level.value)
            if spread:
                half = (right - left) * spread / (high - low)
                shapes.append(Bar(x - half, axis - 4, 2 * half, 8, "spread"))
            shapes += [Mark(x, axis, 8, "reading"), Words(max(0.0, x - 8), axis - 18, level.label, "number")]
    told = "; ".join(level.label for level in levels)
    return Picture(name, _WIDTH, axis + 30 + row * max(0, len(marked) - 1), title, f"{told}.", tuple(shapes))


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
