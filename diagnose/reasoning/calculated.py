"""Readings that nobody takes because they follow from others: worked out whenever those are known.

A rule base that has a finding of such a name gets its value as a fact like any reading.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from diagnose.knowledge.model import Machine

__all__ = ["calculated"]

_SUPERHEATED = 15.0  # K: below it a machine's rated steam counts as saturated, and small superheat is no sign


def calculated(machine: Machine, numbers: Mapping[str, float]) -> dict[str, float]:
    """Return the readings that follow from these (in canonical units), each in its own unit.

    inlet-superheat in K: temperature less boiling point at the inlet pressure, for superheated machines.
    """
    worked = {name: work(machine, numbers) for name, work in _WORKS.items()}
    return {name: value for name, value in worked.items() if value is not None}


def _inlet_superheat(machine: Machine, numbers: Mapping[str, float]) -> float | None:
    pressure, temperature = numbers.get("inlet-pressure"), numbers.get("inlet-temperature")
    rated = [machine.values.get(f"rated-inlet-{what}") for what in ("pressure", "temperature")]
    if pressure is None or temperature is None or None in rated:
        return None
    usual = _superheat(*(one.value for one in rated if one))
    return None if usual is None or usual < _SUPERHEATED else _superheat(pressure, temperature)


def _superheat(pressure: float, temperature: float) -> float | None:
    from diagnose.calculations.pressure import absolute
    from diagnose.calculations.steam import SteamRangeError, superheat

    try:
        return superheat(absolute(pressure), temperature)
    except SteamRangeError:
        return None


_WORKS: Mapping[str, Callable[[Machine, Mapping[str, float]], float | None]] = {"inlet-superheat": _inlet_superheat}
