"""``diagnose find TEXT``: which findings a plain-words description means, best first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.commands.wiring import open_knowledge, say
from diagnose.consultation import search

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

__all__ = ["add_arguments", "run"]


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("text", nargs="+", metavar="TEXT", help="what is not normal, in your own words")
    parser.add_argument("--json", action="store_true", help="print the matches as JSON")
    parser.add_argument("--limit", type=int, default=8, metavar="N", help="at most so many (default 8)")


def run(arguments: Namespace) -> int:
    """Print the matches; exit status 1 when nothing fits."""
    knowledge = open_knowledge(arguments)
    known = search.phrases(knowledge.findings)
    matches = search.find(" ".join(arguments.text), knowledge.findings, known, max(1, arguments.limit))
    if arguments.json:
        import json

        rows = [
            {"finding": m.finding, "value": m.value, "score": m.score, "ask": knowledge.findings[m.finding].ask}
            for m in matches
        ]
        say(json.dumps(rows, ensure_ascii=False, indent=2))
    else:
        for match in matches:
            say(f"{match.score:5.1f}  {match.words}  [{match.finding}]")
        if not matches:
            say("Nothing in the rules fits these words. Try a part of it, or other words.")
    return 0 if matches else 1
