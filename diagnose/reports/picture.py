"""A drawing as plain shapes in a box of units, without looks: every shape names the role it plays."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Bar", "Line", "Mark", "Picture", "Shape", "Words", "shortened"]


@dataclass(frozen=True, slots=True)
class Bar:
    """A filled box."""

    x: float
    y: float
    width: float
    height: float
    role: str
    kind = "bar"


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    x: float
    y: float
    to_x: float
    to_y: float
    role: str
    kind = "line"


@dataclass(frozen=True, slots=True)
class Mark:
    """A diamond centred on a point, ``size`` from its centre to each corner."""

    x: float
    y: float
    size: float
    role: str
    kind = "mark"


@dataclass(frozen=True, slots=True)
class Words:
    """Text whose base line begins, is centred or ends (``anchor``: start, middle, end) at a point."""

    x: float
    y: float
    text: str
    role: str = "label"
    anchor: str = "start"
    kind = "words"


Shape = Bar | Line | Mark | Words


@dataclass(frozen=True, slots=True)
class Picture:
    """Shapes in a box ``width`` by ``height``; ``title`` and ``description`` stand for it where it is not seen."""

    id: str
    width: float
    height: float
    title: str
    description: str
    shapes: tuple[Shape, ...]


def shortened(text: str, most: int) -> str:
    """Return the text, cut with three dots where it is longer than ``most`` characters."""
    return text if len(text) <= most else f"{text[: most - 3].rstrip()}..."
