"""A round sheet with one reading that is not as it should be."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from diagnose.consultation.saying import number_words
from diagnose.reasoning.grading import graded
from diagnose.training.physics import impossible
from diagnose.training.puzzles import Option, Puzzle
from diagnose.training.readings import number_for
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from diagnose.knowledge.model import Finding, Knowledge, Machine

__all__ = ["odd_reading"]

_FEWEST = 4
_SCATTER = 0.5  # of the instrument's accuracy: what readings of a healthy machine differ from their usual
_TRIES = 50


def odd_reading(knowledge: Knowledge, machine: Machine, seed: str) -> Puzzle:
    """Ask which reading of a loaded machine's round is not normal. Rows: title, usual, read now.

    The odd one is judged abnormal by this machine's limits; all others stand near their usual. Raises DiagnoseError
    for a machine whose profile has too few usual readings.
    """
    random = Random(seed)  # noqa: S311 - the same sheet for the same seed
    usual = [
        one
        for one in knowledge.findings.values()
        if one.reading and f"normal-{one.id}" in machine.values and "loaded" in one.phases
    ]
    if len(usual) < _FEWEST:
        raise DiagnoseError(f"{machine.id} has too few usual readings for a round sheet.", mend="Add them to 'normal'.")
    for _ in range(_TRIES):
        odd = random.choice(usual)
        now = {one.id: _near_usual(one, machine, random) for one in usual}
        abnormal = _abnormal(odd, knowledge, machine, random)
        if abnormal is None:
            continue
        now[odd.id] = abnormal
        others_normal = all(_is_normal(one, now[one.id], knowledge, machine) for one in usual if one is not odd)
        if others_normal and not impossible(now, running=True):
            return _sheet(usual, odd, now, knowledge, machine)
    raise DiagnoseError(f"No reading of {machine.id} can be told to be odd: it has no limits.", mend="Add 'limits'.")


def _near_usual(reading: Finding, machine: Machine, random: Random) -> float:
    spread = reading.reading.accuracy * _SCATTER if reading.reading else 0.0
    return machine.values[f"normal-{reading.id}"].value + random.gauss(0.0, spread)


def _abnormal(reading: Finding, knowledge: Knowledge, machine: Machine, random: Random) -> float | None:
    condition = knowledge.findings.get(reading.judged_as or "")
    if condition is None:
        return None
    values = [value for value, normal in condition.values.items() if not normal]
    random.shuffle(values)
    numbers = (number_for(reading, value, knowledge, machine) for value in values)
    return next((number for number in numbers if number is not None), None)


def _is_normal(reading: Finding, number: float, knowledge: Knowledge, machine: Machine) -> bool:
    condition = knowledge.findings.get(reading.judged_as or "")
    if condition is None:
        return True
    judged = graded(condition.id, reading.id, number, 0.0, knowledge.rules.values(), machine, lambda _: frozenset())
    return all(condition.values[value] for value in judged)


def _sheet(usual: list[Finding], odd: Finding, now: dict[str, float], knowledge: Knowledge, machine: Machine) -> Puzzle:
    def words(reading: Finding, number: float) -> str:
        unit = reading.reading.unit if reading.reading else ""
        return number_words(number, unit, knowledge)

    table = tuple(
        (one.id, words(one, machine.values[f"normal-{one.id}"].value), words(one, now[one.id])) for one in usual
    )
    options = tuple(Option(one.id, float(one is odd)) for one in usual)
    return Puzzle("odd-reading", machine.id, "loaded", options, table=table, because=(odd.judged_as or odd.id,))
