"""``diagnose calculate ...``: what readings amount to, each result with its formula, limits and source."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

from diagnose.commands.jobs import add_job, parser_of
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

__all__ = ["JOBS", "add_arguments", "run"]

JOBS = {
    "steam": "superheat, steam rate, exhaust temperature and efficiency, what a changed pressure costs",
    "speed": "regulation, variation, speed rise and class of the governor, from readings or a log; hunting; trips",
    "vibration": "displacement and velocity, zones, shaft limits; the order from a spectrum or from phase",
    "oil": "viscosity when warm, grade, water, acid, particles; a laboratory's report",
    "cooling": "heat carried by the water, rises of water, oil and bearings",
    "trend": "how fast a reading moves, and how long until its limit",
}


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the job; what follows it are options of its own."""
    add_job(parser, JOBS)


def run(arguments: Namespace) -> int:
    """Load the module of the job, and no other; work it out and show it; exit status 1 when a result is bad news."""
    from diagnose.commands import wiring
    from diagnose.commands.calculate_results import add_readings, add_shared, finished, numbers_of

    if any(one.endswith("=--") for one in arguments.options):  # argparse makes no text of it
        raise DiagnoseError("'--' is no value.", mend="Leave the option out, or give it a number with its unit.")
    job = importlib.import_module(f"diagnose.commands.calculate_{arguments.job}")
    typed = "Numbers as you read them: 165 psig, 11.4 bar, 180F, 0.3 in/s."
    parser = parser_of("calculate", arguments.job, JOBS[arguments.job], typed)
    add_shared(parser)
    add_readings(parser, job.WANTED)
    job.add_arguments(parser)
    arguments = parser.parse_args(arguments.options, arguments)
    knowledge = wiring.open_knowledge(arguments)
    machine = wiring.machine_named(arguments.machine, knowledge) if arguments.machine else None
    worked, machine = job.work(arguments, numbers_of(arguments, job.WANTED, knowledge), knowledge, machine)
    return finished(arguments, worked, knowledge, machine)
