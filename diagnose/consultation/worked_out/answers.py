"""What the numbers answered in a consultation amount to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.worked_out.cooling import BEARINGS, cooling_results
from diagnose.consultation.worked_out.result import usual
from diagnose.consultation.worked_out.speed import speed_results
from diagnose.consultation.worked_out.steam import READINGS, steam_results
from diagnose.consultation.worked_out.vibration import vibration_results
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from diagnose.consultation.events import Answer
    from diagnose.consultation.worked_out.result import Result, Worked
    from diagnose.knowledge.model import Machine

__all__ = ["results_of_answers"]

_COOLING = ("cooling-water-rise", *BEARINGS)
_VIBRATION = ("vibration-velocity", "shaft-vibration")


def results_of_answers(said: Mapping[str, Answer], machine: Machine) -> tuple[Result, ...]:
    """Return all that follows from the numbers said of this machine; what cannot be worked out is left out."""
    numbers = {name: answer.number for name, answer in said.items() if answer.number is not None}
    return tuple(result for work in _works(numbers, machine) for result in _tried(work))


def _works(numbers: Mapping[str, float], machine: Machine) -> Iterator[Callable[[], Worked]]:
    def given(names: tuple[str, ...]) -> dict[str, float]:
        return {name: numbers[name] for name in names if name in numbers}

    if "inlet-pressure" in numbers:
        yield lambda: steam_results(given(READINGS), machine)
    rated, swing = usual(machine, "rated-speed"), numbers.get("speed-swing")
    if rated and swing is not None:
        yield lambda: speed_results({"highest": rated + swing / 2, "lowest": rated - swing / 2}, machine)
    if given(_VIBRATION):
        yield lambda: vibration_results(given(_VIBRATION), machine)
    if given(_COOLING):
        yield lambda: cooling_results(given(_COOLING), machine)


def _tried(work: Callable[[], Worked]) -> tuple[Result, ...]:
    try:
        return work().results
    except DiagnoseError:  # a number out of its formula's range: the rules judge it, nothing follows from it
        return ()
