"""Arguments in, exit status out: 0 well, 1 the answer is bad news, 2 wrong use."""

from __future__ import annotations

import argparse
import importlib
import os
import sys
from typing import TYPE_CHECKING

from diagnose import __version__
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["COMMANDS", "main"]

COMMANDS = {
    "consult": "guided questions about a machine that is not normal (also: diagnose alone)",
    "find": "which findings a description in plain words means, best first",
    "prestart": "the checks before and during a start, in order: ready or not, and why",
    "rounds": "a round sheet or logged readings: which machines need a consultation, and why",
    "calculate": "what readings amount to: steam, speed, vibration, oil, cooling, trend",
    "journal": "what is kept: list, show, report, hand over, record outcomes, learn, check, export",
    "case": "replay recorded or invented cases and tell which pass",
    "quiz": "practice cases for trainees: run, make, print sheets, see results",
    "rules": "check, show, compare, extend the rules: for maintenance planners",
}
WRONG_USE, INTERRUPTED = 2, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return the exit status; every failure is one line."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    name = given.pop(0) if given and given[0] in COMMANDS else "consult"
    if name == "consult" and given and not given[0].startswith("-"):
        return _complain(DiagnoseError(f"There is no command '{given[0]}'.", mend=_near(given[0])))
    try:
        return _run(name, given)
    except DiagnoseError as error:
        return _complain(error)
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # nobody reads on; say nothing at exit
        return 0
    except Exception as error:  # noqa: BLE001 - the last resort: one line for the user, the rest in a file
        return _complain(DiagnoseError(_fault_report(error)))


class _Help(argparse.RawDescriptionHelpFormatter):
    """Help as wide as the terminal, found without what argparse would import for it at every start."""

    def __init__(self, prog: str) -> None:
        try:
            width = int(os.environ.get("COLUMNS", "0")) or os.get_terminal_size().columns
        except (ValueError, OSError):
            width = 80
        super().__init__(prog, width=max(40, width - 2))


def _run(name: str, given: list[str]) -> int:
    command = importlib.import_module(f"diagnose.commands.{name}")  # only the one that is wanted
    parser = argparse.ArgumentParser(
        prog="diagnose" if name == "consult" else f"diagnose {name}",
        description=f"{COMMANDS[name][0].upper()}{COMMANDS[name][1:]}.",
        epilog=_commands_help() if name == "consult" else None,
        formatter_class=_Help,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"diagnose {__version__}")
    parser.add_argument("--site", metavar="DIR", help="the plant's folder (default: DIAGNOSE_SITE, else the demo site)")
    command.add_arguments(parser)
    status: int = command.run(parser.parse_args(given))
    return status


def _commands_help() -> str:
    rows = "\n".join(f"  diagnose {name:10} {says}" for name, says in COMMANDS.items())
    advice = "It advises and operates nothing: local procedures and the supervisor come first."
    return f"commands (each has --help):\n{rows}\n\n{advice}"


def _near(word: str) -> str:
    from diagnose.values.names import did_you_mean

    return did_you_mean(word, COMMANDS)


def _complain(error: DiagnoseError) -> int:
    for line in error.lines():
        print(f"diagnose: {line}", file=sys.stderr)  # noqa: T201 - the door speaks
    return WRONG_USE


def _fault_report(error: Exception) -> str:
    """Write the traceback to a file and return the line that names it."""
    import tempfile
    import traceback

    try:
        with tempfile.NamedTemporaryFile("w", prefix="diagnose-fault-", suffix=".txt", delete=False) as file:
            file.write("".join(traceback.format_exception(error)))
        kept = f"Details are in {file.name}; please hand that file to whoever keeps this program."
    except OSError:
        kept = "Details could not be written to a file."
    return f"A fault of this program, not of yours ({type(error).__name__}). Nothing kept was lost. {kept}"
