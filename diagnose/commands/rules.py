"""``diagnose rules ...``: what a maintenance planner does with the rules."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

from diagnose.commands.jobs import add_job, parser_of

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

__all__ = ["JOBS", "add_arguments", "run"]

JOBS = {
    "check": "find faults and doubtful places, with the line and a mend",
    "show": "everything about one finding, cause, rule or caution",
    "compare": "what changes for people between two sets of rules",
    "coverage": "what the cases exercise, and what no check can tell apart",
    "snapshot": "what each rule does by itself, kept, and what is different now",
    "table": "the words of the rules as a table for a spreadsheet, and back",
    "new": "add a finding, cause, rule, machine or case to the site, guided",
    "schema": "the format for editors, as JSON Schema",
    "handbook": "all rules as one page to browse, search and print",
}


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the job; what follows it are options of its own."""
    add_job(parser, JOBS)


def run(arguments: Namespace) -> int:
    """Load the module of the job, and no other; read its options, do it, and return the exit status."""
    job = importlib.import_module(f"diagnose.commands.rules_{arguments.job}")
    parser = parser_of("rules", arguments.job, JOBS[arguments.job])
    job.add_arguments(parser)
    status: int = job.run(parser.parse_args(arguments.options, arguments))
    return status
