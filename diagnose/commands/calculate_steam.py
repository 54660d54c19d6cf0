"""``diagnose calculate steam``: superheat, steam rate, efficiency, and what a changed pressure costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.commands.calculate_results import Wanted, needs
from diagnose.consultation.worked_out.steam import steam_results

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from diagnose.consultation.worked_out.result import Worked
    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["WANTED", "add_arguments", "work"]

WANTED = (
    Wanted("inlet-pressure", "bar gauge", "at the inlet", -1, 120),
    Wanted("inlet-temperature", "C", "at the inlet; without it the steam is taken as dry saturated", 0, 560),
    Wanted("exhaust-pressure", "bar gauge", "at the casing", -1, 30),
    Wanted("exhaust-temperature", "C", "of the exhaust steam: tells the efficiency", 40, 500),
    Wanted("calorimeter", "C", "of a throttling calorimeter on the inlet line: tells the moisture", 0, 300),
    Wanted("power", "kW", "at the coupling (default: the machine's rated)", 0, 100_000),
)


def add_arguments(_parser: ArgumentParser) -> None:
    """Declare nothing beyond the readings."""


def work(
    _arguments: Namespace, numbers: dict[str, float], _knowledge: Knowledge, machine: Machine | None
) -> tuple[Worked, Machine | None]:
    """Work it out; it is bad news for wet steam, impossible readings or a fallen efficiency."""
    needs("inlet-pressure" in numbers, "The inlet pressure is wanted.", "steam --inlet-pressure '17 bar gauge'")
    return steam_results(numbers, machine), machine
