"""``diagnose rules ...``: what a maintenance planner does with the rules."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

__all__ = ["JOBS", "add_arguments", "run"]

JOBS = {
    "check": "find faults and doubtful places, with the line and a mend",
    "show": "everything about one finding, cause, rule or caution",
    "compare": "what changes for people between two sets of rules",
    "coverage": "what the cases exercise, and what no check can tell apart",
    "table": "the words of the rules as a table for a spreadsheet, and back",
    "new": "add a finding, cause, rule, machine or case to the site, guided",
    "schema": "the format for editors, as JSON Schema",
    "handbook": "all rules as one page to browse, search and print",
}


def add_arguments(parser: ArgumentParser) -> None:
    """Declare one set of options for each job."""
    jobs = parser.add_subparsers(dest="job", metavar="JOB", required=True)
    for job, says in JOBS.items():
        description = f"{says[0].upper()}{says[1:]}."
        sub = jobs.add_parser(job, help=says, description=description, allow_abbrev=False)
        _module(job).add_arguments(sub)


def run(arguments: Namespace) -> int:
    """Do the job and return its exit status."""
    status: int = _module(arguments.job).run(arguments)
    return status


def _module(job: str):  # type: ignore[no-untyped-def]  # noqa: ANN202  a module of this package
    return importlib.import_module(f"diagnose.commands.rules_{job}")
