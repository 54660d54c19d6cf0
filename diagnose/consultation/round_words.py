"""What the rounds show, in words and in the units that the site prefers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.round_clock import stamp
from diagnose.consultation.saying import number_words
from diagnose.values.quantity import difference_unit

if TYPE_CHECKING:
    from diagnose.calculations.hunting import Swing
    from diagnose.calculations.trends import Until
    from diagnose.consultation.round_judging import Chart
    from diagnose.knowledge.model import Knowledge

__all__ = ["change_words", "stuck_words", "swing_words"]

_SWINGS = {
    "hunting": "the speed hunts",
    "load-swing": "the speed swings because the load does",
    "swing": "the speed swings regularly (no load was logged, so hunting or load cannot be told)",
}


def change_words(chart: Chart, knowledge: Knowledge) -> str:
    """Return how far a reading is from its own normal, since when, how fast it moves, and when it meets its limit."""
    change = chart.change
    if change is None:
        return ""
    unit = difference_unit(chart.unit)

    def difference(value: float) -> str:
        return number_words(value, unit, knowledge)

    way = "above" if change.upward else "below"
    name, since = chart.finding.replace("-", " "), stamp(chart.times[change.since])[:10]
    says = f"{name} is {difference(abs(change.size))} {way} its own normal, since about {since}"
    if change.line is not None:
        low, high = sorted((change.line.low, change.line.high))
        says += f", drifting {difference(change.line.slope)} a day ({difference(low)} to {difference(high)})"
    if change.until is not None and change.until.expected is not None:
        says += f"; {_until(change.until)}"
    return says


def stuck_words(finding: str, value: float, unit: str, since: float, knowledge: Knowledge) -> str:
    """Return what a gauge that does not move shows, and since when."""
    shown, name = number_words(value, unit, knowledge), finding.replace("-", " ")
    return f"{name} has read {shown} without any movement since {stamp(since)}: the gauge may be stuck"


def swing_words(swing: Swing) -> str:
    """Return how the speed swings."""
    sure = f"{min(swing.confidence, 0.999):.1%} sure"
    return f"{_SWINGS[swing.kind]}: {swing.width:.0f} rpm from top to bottom every {swing.period:.3g} s ({sure})"


def _until(until: Until) -> str:
    if until.expected == 0:
        return "it is at its limit"
    late = f"{until.latest:.0f}" if until.latest is not None else "never"
    return f"at this pace its limit in {until.expected or 0:.0f} days ({until.soonest or 0:.0f} to {late})"
