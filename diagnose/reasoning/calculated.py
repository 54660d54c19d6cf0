"""Readings that nobody takes because they follow from others: worked out whenever those are known.

A rule base that has a finding of such a name gets its value as a fact like any reading.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from diagnose.knowledge.model import Machine

__all__ = ["RESTS_ON", "calculated", "inlet_superheat", "own_efficiency", "stage_efficiency"]

_SUPERHEATED = 15.0  # K: below it a machine's rated steam counts as saturated, and small superheat is no sign
_STEAM = ("inlet-pressure", "inlet-temperature", "exhaust-pressure", "exhaust-temperature")

RESTS_ON: Mapping[str, tuple[str, ...]] = {"inlet-superheat": _STEAM[:2], "stage-efficiency-change": _STEAM}


def calculated(machine: Machine, numbers: Mapping[str, float]) -> dict[str, float]:
    """Return the readings that follow from these (in canonical units), each in its own unit.

    inlet-superheat in K: temperature less boiling point at the inlet pressure, for superheated machines.
    stage-efficiency-change in %: stage efficiency by the exhaust temperature less the same of the machine's normals.
    """
    worked = {name: work(machine, numbers) for name, work in _WORKS.items()}
    return {name: value for name, value in worked.items() if value is not None}


def inlet_superheat(numbers: Mapping[str, float]) -> float | None:
    """Return how many K the inlet steam is above its boiling point; None when a reading is missing or out of range."""
    from diagnose.calculations.pressure import absolute
    from diagnose.calculations.steam import SteamRangeError, superheat

    pressure, temperature = numbers.get("inlet-pressure"), numbers.get("inlet-temperature")
    if pressure is None or temperature is None:
        return None
    try:
        return superheat(absolute(pressure), temperature)
    except SteamRangeError:
        return None


def stage_efficiency(numbers: Mapping[str, float]) -> float | None:
    """Return the apparent stage efficiency in % from pressure and temperature at inlet and exhaust.

    None when one of the four is missing or out of range, or the exhaust is too near wet to tell.
    """
    from diagnose.calculations import steam
    from diagnose.calculations.pressure import absolute

    pressure, temperature, exhaust, exhaust_at = (numbers.get(name) for name in _STEAM)
    if pressure is None or temperature is None or exhaust is None or exhaust_at is None:
        return None
    try:
        found = steam.stage_efficiency(absolute(pressure), temperature, absolute(exhaust), exhaust_at)
    except steam.SteamRangeError:
        return None
    return None if found is None else 100 * found


def own_efficiency(machine: Machine) -> float | None:
    """Return the stage efficiency in % that the machine's normal readings amount to."""
    normal = {name: machine.values.get(f"normal-{name}") for name in _STEAM}
    return stage_efficiency({name: one.value for name, one in normal.items() if one})


def _superheat_where_it_tells(machine: Machine, numbers: Mapping[str, float]) -> float | None:
    rated = {what: machine.values.get(f"rated-{what}") for what in _STEAM[:2]}
    usual = inlet_superheat({what: one.value for what, one in rated.items() if one})
    return None if usual is None or usual < _SUPERHEATED else inlet_superheat(numbers)


def _efficiency_change(machine: Machine, numbers: Mapping[str, float]) -> float | None:
    now = stage_efficiency(numbers)
    usual = None if now is None else own_efficiency(machine)
    return None if now is None or usual is None else now - usual


_WORKS: Mapping[str, Callable[[Machine, Mapping[str, float]], float | None]] = {
    "inlet-superheat": _superheat_where_it_tells,
    "stage-efficiency-change": _efficiency_change,
}
