"""``diagnose quiz ...``: run cases with trainees, go over them, make new ones, print sheets, see results."""

from __future__ import annotations

import argparse
import importlib
from typing import TYPE_CHECKING

from diagnose.knowledge.model import PHASES

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Callable

__all__ = ["add_arguments", "run"]

_FORMATS = ("open", "next-check", "first-action", "odd-reading", "start-order", "mixed")
_DIFFICULTIES = ("easy", "middle", "hard")


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the sub-commands; each does its work in its own module, loaded when it is the one wanted."""
    parser.epilog = "Begin with: diagnose quiz run --course --trainee NAME. A class: --teams 'Red, Blue' --count 6."
    chosen = parser.add_subparsers(dest="what", metavar="WHAT", required=True)
    for name, (says, declare) in _COMMANDS.items():
        inner = chosen.add_parser(name, help=says, description=f"{says[0].upper()}{says[1:]}.", allow_abbrev=False)
        inner.add_argument(
            "--site", metavar="DIR", default=argparse.SUPPRESS, help="the plant's folder (as before the word)"
        )
        declare(inner)


def run(arguments: Namespace) -> int:
    """Run the sub-command."""
    module = importlib.import_module(f"diagnose.commands.quiz_{arguments.what}")
    command: Callable[[Namespace], int] = module.run
    return command(arguments)


def _run(parser: ArgumentParser) -> None:
    parser.add_argument("--trainee", metavar="NAME", default="", help="who is practising; kept in the site's folder")
    parser.add_argument("--teams", metavar="NAMES", default="", help="teams at one screen, in turn: 'Red, Blue'")
    _which(parser)
    parser.add_argument("--minutes", type=float, default=0.0, metavar="N", help="time for the checks of a case")
    parser.add_argument("--resume", action="store_true", help="go on with the case that was left")
    parser.add_argument("--plain", action="store_true", help="line by line, for pipes and simple terminals")
    parser.add_argument("--no-journal", action="store_true", help="keep no record")


def _which(parser: ArgumentParser) -> None:
    parser.add_argument("--format", choices=_FORMATS, default="open", help="the kind of question (default open)")
    parser.add_argument("--course", nargs="?", const="operator", default="", metavar="NAME", help="cases of a course")
    parser.add_argument("--cases", metavar="PATH", default="", help="a file or folder of cases to draw from")
    parser.add_argument("--count", type=_count, default=1, metavar="N", help="so many cases (default 1)")
    _wish(parser)


def _wish(parser: ArgumentParser) -> None:
    parser.add_argument("--difficulty", choices=_DIFFICULTIES, default="middle", help="of made cases (default middle)")
    parser.add_argument("--machine", metavar="NAME", default="", help="only this machine")
    parser.add_argument("--phase", choices=PHASES, default="", metavar="PHASE", help=f"one of {', '.join(PHASES)}")
    parser.add_argument("--subsystem", metavar="NAME", default="", help="only causes of this subsystem")
    parser.add_argument("--seed", type=int, default=None, metavar="N", help="the same seed gives the same cases")


def _make(parser: ArgumentParser) -> None:
    parser.add_argument("--count", type=_count, default=1, metavar="N", help="so many cases (default 1)")
    _wish(parser)
    parser.add_argument(
        "--from", dest="consultation", metavar="ID", help="make a case of a consultation whose outcome is known"
    )
    parser.add_argument("--out", metavar="FILE", help="write the YAML there instead of printing it")


def _sheets(parser: ArgumentParser) -> None:
    _which(parser)
    parser.add_argument("--out", metavar="DIR", default=".", help="folder for questions.html and answers.html")


def _debrief(parser: ArgumentParser) -> None:
    parser.add_argument("attempt", nargs="?", default="", metavar="ID", help="as in the CSV; else the latest one ended")
    parser.add_argument("--trainee", metavar="NAME", default="", help="the latest of this trainee")
    parser.add_argument("--page", metavar="FILE", help="write it as a page with both paths drawn")
    parser.add_argument("--names", action="store_true", help="put the name instead of the id onto the page")


def _results(parser: ArgumentParser) -> None:
    parser.add_argument("--trainee", metavar="NAME", default="", help="only this trainee")
    parser.add_argument("--course", metavar="NAME", default="", help="only attempts of this course")
    parser.add_argument("--csv", metavar="FILE", help="write every attempt as CSV; '-' prints it")
    parser.add_argument("--page", metavar="FILE", help="write a page with standing and progress, to be signed")
    parser.add_argument("--names", action="store_true", help="put names instead of ids into --csv, --json and --page")
    parser.add_argument("--erase", metavar="NAME", help="erase a trainee's name for good; the marks stay without it")
    parser.add_argument("--json", action="store_true", help="print JSON, with ids unless --names")


def _count(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or not 1 <= int(text) <= 1000:  # noqa: PLR2004 - a long class
        raise argparse.ArgumentTypeError(f"'{text[:20]}' is not a whole number from 1 to 1000")
    return int(text)


_COMMANDS: dict[str, tuple[str, Callable[[ArgumentParser], None]]] = {
    "run": ("put cases to a trainee or to teams, and mark them", _run),
    "debrief": ("go over an ended case: both paths, what each finding was worth, what to read", _debrief),
    "results": ("how trainees, causes, findings and questions did", _results),
    "make": ("make new cases to practise on or to edit", _make),
    "sheets": ("print questions and, separately, their answers", _sheets),
}
