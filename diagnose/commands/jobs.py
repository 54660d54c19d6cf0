"""Commands that hold several jobs, each in a module of its own with its own options."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from argparse import ArgumentParser
    from collections.abc import Mapping

__all__ = ["add_job", "parser_of"]


def add_job(parser: ArgumentParser, jobs: Mapping[str, str]) -> None:
    """Declare the job; what follows it are options of its own."""
    says = "; ".join(f"{job}: {says}" for job, says in jobs.items())
    parser.add_argument("job", choices=tuple(jobs), metavar="JOB", help=f"{says}. Each has --help")
    parser.add_argument("options", nargs="...", metavar="...", help="options of the job")


def parser_of(command: str, job: str, says: str, more: str = "") -> ArgumentParser:
    """Make the parser of one job's options; ``says`` is what the job does, ``more`` a sentence after it."""
    from argparse import SUPPRESS, ArgumentParser

    description = f"{says[0].upper()}{says[1:]}. {more}".rstrip()
    parser = ArgumentParser(prog=f"diagnose {command} {job}", description=description, allow_abbrev=False)
    parser.add_argument("--site", metavar="DIR", default=SUPPRESS, help="the plant's folder")
    return parser
