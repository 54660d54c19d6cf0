"""Which multiple of the running speed shakes a machine, from a spectrum's lines or from phase notes.

Frequencies in Hz, speeds in rpm, amplitudes in any one unit. Source of all shares and angles: textbook vibration
charts, common practice. They are hints for maintenance, never a verdict.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from diagnose.calculations.vibration import hint

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["OrderedLine", "order_by_phase", "order_of", "ordered_lines"]

_WORTH = 0.25  # of the largest line: smaller ones are left out
_PLAIN = 0.10  # of all lines' power: with less in the largest nothing stands out
_TWICE = 0.5  # of the line at running speed, from which twice it tells of misalignment
_MANY = 4  # lines at whole or half multiples above twice, from which they are many
_NEAR = 0.02  # of an order
_ACROSS = 30.0  # degrees from 180 that still count as opposite


@dataclass(frozen=True, slots=True)
class OrderedLine:
    """A line of a spectrum: its frequency, its multiple of the running speed, amplitude, and what it often means."""

    frequency: float
    order: float
    amplitude: float
    meaning: str


def ordered_lines(
    spectrum: Sequence[tuple[float, float]], speed: float, vanes: int = 0, blades: int = 0
) -> list[OrderedLine]:
    """Return the lines that stand out, largest first: local peaks of a quarter of the largest or more.

    ``spectrum`` is (frequency, amplitude) in any order; up to five points count as lines already.

    >>> lines = ordered_lines([(60, 5.0), (120, 3.0), (300, 0.2)], 3600)
    >>> [(line.order, line.meaning) for line in lines]
    [(1.0, 'once'), (2.0, 'twice')]
    """
    few = 5
    points = sorted(spectrum)
    if len(points) > few:
        tall = [0.0, *(height for _, height in points), 0.0]
        points = [one for at, one in enumerate(points, 1) if tall[at - 1] < tall[at] >= tall[at + 1]]
    largest = max((height for _, height in points), default=0.0)
    worth = [one for one in points if one[0] > 0 and one[1] > 0 and one[1] >= _WORTH * largest]
    worth.sort(key=lambda one: -one[1])
    return [OrderedLine(at, at * 60 / speed, height, hint(at, speed, vanes, blades)) for at, height in worth]


def order_of(spectrum: Sequence[tuple[float, float]], speed: float, vanes: int = 0, blades: int = 0) -> str:
    """Return ``once-per-turn``, ``twice-or-axial``, ``below-half``, ``fractions-or-many``, ``random`` or ``other``.

    >>> order_of([(60, 5.0), (120, 1.0)], 3600), order_of([(60, 5.0), (120, 4.0)], 3600), order_of([(27, 5.0)], 3600)
    ('once-per-turn', 'twice-or-axial', 'below-half')
    """
    lines = ordered_lines(spectrum, speed, vanes, blades)
    if not lines:
        return "other"
    power = sum(height**2 for _, height in spectrum)
    if len(spectrum) > 1 / _PLAIN and lines[0].amplitude ** 2 < _PLAIN * power:
        return "random"
    if sum(line.order > 2 + _NEAR and _whole_or_half(line.order) for line in lines) >= _MANY:
        return "fractions-or-many"
    meaning = lines[0].meaning
    if meaning == "once":
        twice = next((line.amplitude for line in lines if line.meaning == "twice"), 0.0)
        return "twice-or-axial" if twice >= _TWICE * lines[0].amplitude else "once-per-turn"
    named = {"half-or-under": "below-half", "half": "fractions-or-many", "twice": "twice-or-axial"}
    return named.get(meaning) or ("fractions-or-many" if _is_fraction(lines[0].order) else "other")


def order_by_phase(across: float) -> str:
    """Return what the phase of the running-speed line across the coupling (degrees) speaks for.

    Sides that move against each other, 180 degrees give or take 30, speak for misalignment, ``twice-or-axial``; that
    move together, within 30, for a single heavy spot, ``once-per-turn``; between, for neither: ``other``.

    >>> order_by_phase(170), order_by_phase(-10), order_by_phase(90)
    ('twice-or-axial', 'once-per-turn', 'other')
    """
    apart = abs((across + 180) % 360 - 180)
    if apart >= 180 - _ACROSS:
        return "twice-or-axial"
    return "once-per-turn" if apart <= _ACROSS else "other"


def _whole_or_half(order: float) -> bool:
    return abs(order * 2 - round(order * 2)) <= 2 * _NEAR * order


def _is_fraction(order: float) -> bool:
    """Tell a third, a quarter, or a half more than a whole number: a rub or looseness."""
    return any(abs(order - at) <= _NEAR * at for at in (1 / 3, 1 / 4, 1.5, 2.5, 3.5))
