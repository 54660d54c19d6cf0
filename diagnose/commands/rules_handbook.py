"""``diagnose rules handbook FILE``: all rules as one page to browse, search and print."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.commands.rule_files import add_rules_option, opened, write_text
from diagnose.commands.wiring import say

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

__all__ = ["add_arguments", "run"]


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_rules_option(parser)
    parser.add_argument("file", metavar="FILE", help="the page to write, such as handbook.html")
    parser.add_argument("--title", default="Trouble handbook", metavar="TEXT", help="what stands at its head")


def run(arguments: Namespace) -> int:
    """Write the page; exit status 1 when the rules hold faults, so that the page may be short of something."""
    from diagnose.reports.handbook import handbook

    loaded = opened(arguments).loaded
    write_text(Path(arguments.file), handbook(loaded.knowledge, arguments.title))
    say(f"Written: {arguments.file}")
    if loaded.problems:
        say(f"The rules hold {len(loaded.problems)} faults; 'diagnose rules check' tells them.")
    return 1 if loaded.problems else 0
