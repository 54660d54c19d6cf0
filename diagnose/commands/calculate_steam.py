"""``diagnose calculate steam``: superheat, steam rate, efficiency, and what a changed pressure costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.commands import wiring
from diagnose.commands.calculate_results import Wanted, add_readings, finished, machine_of, needs, numbers_of
from diagnose.consultation.worked_out.steam import steam_results

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

__all__ = ["add_arguments", "run"]

_WANTED = (
    Wanted("inlet-pressure", "bar gauge", "at the inlet", -1, 120),
    Wanted("inlet-temperature", "C", "at the inlet; without it the steam is taken as dry saturated", 0, 560),
    Wanted("exhaust-pressure", "bar gauge", "at the casing", -1, 30),
    Wanted("exhaust-temperature", "C", "of the exhaust steam: tells the efficiency", 40, 500),
    Wanted("power", "kW", "at the coupling (default: the machine's rated)", 0, 100_000),
)


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_readings(parser, _WANTED)


def run(arguments: Namespace) -> int:
    """Work it out and show it; exit status 1 for wet steam, impossible readings or a fallen efficiency."""
    knowledge = wiring.open_knowledge(arguments)
    machine = machine_of(arguments, knowledge)
    numbers = numbers_of(arguments, _WANTED, knowledge)
    needs("inlet-pressure" in numbers, "The inlet pressure is wanted.", "steam --inlet-pressure '17 bar gauge'")
    return finished(arguments, steam_results(numbers, machine), knowledge, machine)
