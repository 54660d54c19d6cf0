"""Numbers for a machine's readings: one that its own limits judge as wanted, as near to its normal as may be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.reasoning.grading import graded
from diagnose.reasoning.instruments import accuracy
from diagnose.values import quantity

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.knowledge.model import Finding, Knowledge, Machine

__all__ = ["as_read", "number_for"]

_FACTORS = (0.5, 0.7, 0.85, 0.92, 0.97, 1.0, 1.03, 1.08, 1.15, 1.3, 1.6)
_CLEAR = 0.95  # the instrument's accuracy must leave no more doubt than this of how the number is judged


def as_read(
    knowledge: Knowledge, machine: Machine, answers: Mapping[str, str]
) -> tuple[dict[str, str], dict[str, float]]:
    """Return answers by condition as a reader of gauges would give them, and the numbers among them."""
    told: dict[str, str] = {}
    numbers: dict[str, float] = {}
    for node, value in answers.items():
        reading = _only_reading(knowledge.findings[node], knowledge)
        number = number_for(reading, value, knowledge, machine) if reading else None
        if reading is None or number is None or reading.reading is None:
            told[node] = value
        else:
            numbers[reading.id] = number
            told[reading.id] = quantity.shown(quantity.Quantity(number, reading.reading.unit))
    return told, numbers


def number_for(reading: Finding, value: str, knowledge: Knowledge, machine: Machine) -> float | None:
    """Return a number that this machine's limits judge clearly as the value; None when none is known."""
    spec = reading.reading
    if spec is None or not reading.judged_as:
        return None
    rules = knowledge.rules.values()
    usual = machine.values.get(f"normal-{reading.id}")
    if usual is None:
        return None
    fitting = [
        number
        for number in _candidates(reading, machine)
        if spec.plausible[0] <= number <= spec.plausible[1]
        and graded(
            reading.judged_as, reading.id, number, accuracy(reading, machine), rules, machine, lambda _: frozenset()
        ).get(value, 0.0)
        >= _CLEAR
    ]
    return min(fitting, key=lambda number: abs(number - usual.value), default=None)


def _candidates(reading: Finding, machine: Machine) -> Iterator[float]:
    """Yield round numbers about everything that the machine knows in the reading's unit."""
    spec = reading.reading
    if spec is None:
        return
    digits = 0 if spec.accuracy >= 1 else 1 if spec.accuracy >= 0.1 else 2  # noqa: PLR2004 - places a gauge shows
    for known in machine.values.values():
        if known.unit == spec.unit:
            yield from (round(known.value * factor, digits) for factor in _FACTORS)


def _only_reading(node: Finding, knowledge: Knowledge) -> Finding | None:
    """Return the one reading that a condition is judged from; None when it is judged from other things too."""
    if not node.concluded or len(node.judged_from) != 1:
        return None
    reading = knowledge.findings[node.judged_from[0]]
    return reading if reading.reading else None
