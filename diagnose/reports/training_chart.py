"""Marks drawn in the order they were earned."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.reports.picture import Bar, Line, Picture, Shape, Words
from diagnose.training.marking import PASS

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["progress"]

_WIDTH, _HEIGHT, _LEFT = 640.0, 140.0, 40.0


def progress(name: str, marks: Sequence[float]) -> Picture:
    """Draw marks (0 to 100) as columns, first to latest, with the pass mark as a line."""
    step = (_WIDTH - _LEFT) / max(1, len(marks))
    shapes: list[Shape] = []
    for at, mark in enumerate(marks):
        height = max(1.0, _HEIGHT * mark / 100)
        shapes.append(Bar(_LEFT + at * step + step * 0.1, _HEIGHT - height, step * 0.8, height, "count"))
    level = _HEIGHT * (1 - PASS / 100)
    shapes += [
        Line(_LEFT, _HEIGHT, _WIDTH, _HEIGHT, "axis"),
        Line(_LEFT, level, _WIDTH, level, "limit"),
        Words(0, level + 4, f"{PASS:.0f}", "note"),
        Words(0, _HEIGHT, "0", "note"),
    ]
    told = ", ".join(f"{mark:.0f}" for mark in marks)
    return Picture(name, _WIDTH, _HEIGHT + 8, "Marks, first to latest", f"{told}.", tuple(shapes))
