"""``diagnose calculate cooling``: heat carried by the water, rises of water, oil and bearings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.commands.calculate_results import Wanted, needs
from diagnose.consultation.worked_out.cooling import cooling_results

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from diagnose.consultation.worked_out.result import Worked
    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["WANTED", "add_arguments", "work"]

WANTED = (
    Wanted("water-in", "C", "cooling water coming in", 0, 100),
    Wanted("water-out", "C", "cooling water leaving", 0, 100),
    Wanted("cooling-water-rise", "K", "how much warmer it leaves, instead of both", -5, 80),
    Wanted("water-flow", "l/min", "flow of the cooling water", 0, 10_000),
    Wanted("oil-in", "C", "oil going to a bearing of a forced set", -10, 150),
    Wanted("oil-out", "C", "oil leaving it", -10, 200),
    Wanted("bearing-temperature-drive-end", "C", "drive-end bearing", -20, 200),
    Wanted("bearing-temperature-governor-end", "C", "governor-end bearing", -20, 200),
    Wanted("ambient", "C", "surroundings", -40, 60),
)


def add_arguments(_parser: ArgumentParser) -> None:
    """Declare nothing beyond the readings."""


def work(
    _arguments: Namespace, numbers: dict[str, float], _knowledge: Knowledge, machine: Machine | None
) -> tuple[Worked, Machine | None]:
    """Work it out; it is bad news when a rise or a temperature is over its limit."""
    worked = cooling_results(numbers, machine)
    example = "cooling --machine BFP-2 --water-in '28 C' --water-out '36 C' --water-flow '12 l/min'"
    needs(worked.results, "Too little is given: water in and out, oil in and out, or a bearing.", example)
    return worked, machine
