"""``diagnose calculate cooling``: heat carried by the water, rises of water, oil and bearings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.commands import wiring
from diagnose.commands.calculate_results import Wanted, add_readings, finished, machine_of, needs, numbers_of
from diagnose.consultation.worked_out.cooling import cooling_results

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

__all__ = ["add_arguments", "run"]

_WANTED = (
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


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_readings(parser, _WANTED)


def run(arguments: Namespace) -> int:
    """Work it out and show it; exit status 1 when a rise or a temperature is over its limit."""
    knowledge = wiring.open_knowledge(arguments)
    machine = machine_of(arguments, knowledge)
    numbers = numbers_of(arguments, _WANTED, knowledge)
    worked = cooling_results(numbers, machine)
    example = "cooling --machine BFP-2 --water-in '28 C' --water-out '36 C' --water-flow '12 l/min'"
    needs(
        dict.fromkeys(worked.results), "Too little is given: water in and out, oil in and out, or a bearing.", example
    )
    return finished(arguments, worked, knowledge, machine)
