"""``diagnose journal ...``: what is kept: list, show, report, hand over; outcomes, learning; check, copy, move."""

from __future__ import annotations

import argparse
import importlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Callable

__all__ = ["add_arguments", "run"]

_READING, _PAGES, _CLOSING, _UPKEEP = "journal_reading", "journal_pages", "journal_closing", "journal_upkeep"


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the sub-commands; each does its work in its own module, loaded when it is the one wanted."""
    chosen = parser.add_subparsers(dest="what", metavar="WHAT", required=True)
    for name, (_, says, declare) in _COMMANDS.items():
        inner = chosen.add_parser(name, help=says, description=f"{says[0].upper()}{says[1:]}.", allow_abbrev=False)
        inner.add_argument(
            "--site", metavar="DIR", default=argparse.SUPPRESS, help="the plant's folder (as before the word)"
        )
        declare(inner)


def run(arguments: Namespace) -> int:
    """Run the sub-command."""
    module, _, _ = _COMMANDS[arguments.what]
    command: Callable[[Namespace], int] = getattr(
        importlib.import_module(f"diagnose.commands.{module}"), f"run_{arguments.what}"
    )
    return command(arguments)


def _list(parser: ArgumentParser) -> None:
    _filters(parser)
    parser.add_argument("--cause", metavar="ID", help="only where this cause ranked first or was confirmed")
    chosen = parser.add_mutually_exclusive_group()
    chosen.add_argument("--open", action="store_true", help="only those without an outcome")
    chosen.add_argument("--closed", action="store_true", help="only those with an outcome")
    parser.add_argument(
        "--kind",
        metavar="KIND",
        default="consultation",
        help="consultation (default), round, start, quiz ...; 'all' for every kind",
    )
    parser.add_argument("--limit", type=_count, default=20, metavar="N", help="show so many, newest first (default 20)")
    parser.add_argument("--json", action="store_true", help="print JSON")


def _filters(parser: ArgumentParser) -> None:
    parser.add_argument("--machine", metavar="NAME", help="only this machine")
    parser.add_argument("--since", metavar="TIME", help="from then on: 2026-03-02, '2026-03-02 14:00', or 12h, 7d ago")
    parser.add_argument("--until", metavar="TIME", help="before then, said in the same way")


def _count(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not int(text):
        raise argparse.ArgumentTypeError(f"'{text[:20]}' is not a whole number above 0")
    return min(int(text), 10**9)


def _show(parser: ArgumentParser) -> None:
    parser.add_argument("id", metavar="ID", help="the consultation, as 'diagnose journal list' shows it")
    parser.add_argument(
        "--today", action="store_true", help="replay under today's rules and say what comes out differently"
    )
    parser.add_argument("--json", action="store_true", help="print every event as JSON")


def _report(parser: ArgumentParser) -> None:
    parser.add_argument("id", metavar="ID", help="the consultation, as 'diagnose journal list' shows it")
    _page_options(parser)


def _page_options(parser: ArgumentParser) -> None:
    parser.add_argument("--markdown", action="store_true", help="write Markdown instead of an HTML page")
    parser.add_argument(
        "--out", metavar="FILE", help="where to write it; '-' prints it (default: reports/ beside the journal)"
    )


def _handover(parser: ArgumentParser) -> None:
    _filters(parser)
    _page_options(parser)


def _outcome(parser: ArgumentParser) -> None:
    parser.add_argument("id", metavar="ID", help="the consultation that was closed")
    parser.add_argument(
        "--cause", action="append", default=[], metavar="ID", help="what was wrong; twice for two faults"
    )
    parser.add_argument("--text", default="", metavar="TEXT", help="what was wrong, where the rules do not hold it")
    parser.add_argument("--none-found", action="store_true", help="maintenance looked and found nothing")
    parser.add_argument(
        "--known-by",
        default="found",
        metavar="HOW",
        help="found: seen or tested (default); cured: the symptom went; assumed: nobody looked",
    )
    parser.add_argument("--done", default="", metavar="TEXT", help="what was done")
    parser.add_argument("--by", default="", metavar="NAME", help="who says so")
    parser.add_argument("--correct", default="", metavar="REASON", help="corrects the outcome recorded before")
    parser.add_argument("--withdraw", action="store_true", help="with --correct: the outcome belongs to another job")


def _learn(parser: ArgumentParser) -> None:
    parser.add_argument("--accept", action="store_true", help="write the overlay; needs --by")
    parser.add_argument("--by", default="", metavar="NAME", help="who accepts")
    parser.add_argument(
        "--only", action="append", default=[], metavar="ID", help="take only this cause or rule; may be repeated"
    )
    parser.add_argument("--json", action="store_true", help="print JSON")


def _check(parser: ArgumentParser) -> None:
    parser.add_argument(
        "--rescue", metavar="FILE", help="save all that can be read to this new journal; the damaged one is only read"
    )


def _export(parser: ArgumentParser) -> None:
    parser.add_argument("--csv", action="store_true", help="for a spreadsheet; JSON Lines otherwise")
    parser.add_argument("--quizzes", action="store_true", help="with quiz attempts, which name trainees")
    parser.add_argument("--out", metavar="FILE", default="-", help="where to write it (default: print it)")


def _import(parser: ArgumentParser) -> None:
    parser.add_argument(
        "file", metavar="FILE", help="JSON Lines as 'diagnose journal export' writes them; '-' reads input"
    )


def _backup(parser: ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", help="the new file; the journal may be in use meanwhile")


_COMMANDS: dict[str, tuple[str, str, Callable[[ArgumentParser], None]]] = {
    "list": (_READING, "consultations, newest first: by machine, time, cause, open or closed", _list),
    "show": (_READING, "one consultation: what was said, what came of it, and whether it still comes out so", _show),
    "report": (_PAGES, "one consultation as a page for the next shift, the supervisor and maintenance", _report),
    "handover": (
        _PAGES,
        "a span of time as a page: counts, open items, repeats (default: the last 12 hours)",
        _handover,
    ),
    "outcome": (_CLOSING, "record what was really wrong and what was done", _outcome),
    "learn": (_CLOSING, "frequencies that the closed jobs propose, to be accepted or not", _learn),
    "check": (_UPKEEP, "is the file whole and every event sound; rescue what can be read from a damaged one", _check),
    "export": (_UPKEEP, "every event as JSON Lines or CSV", _export),
    "import": (_UPKEEP, "take in events exported elsewhere", _import),
    "backup": (_UPKEEP, "a whole copy, made while others go on writing", _backup),
}
