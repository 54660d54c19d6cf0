"""``diagnose rules show ID``: everything about one thing of the rules."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from diagnose.commands.rule_files import add_rules_option, opened
from diagnose.commands.wiring import say
from diagnose.planning.describe import described
from diagnose.planning.rule_base import RuleBase

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Iterator

    from diagnose.planning.describe import Described

__all__ = ["add_arguments", "run"]


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_rules_option(parser)
    parser.add_argument(
        "id", metavar="ID", help="a finding, cause, rule, caution or feature; 'rule ID' asks for a rule"
    )
    parser.add_argument("--json", action="store_true", help="print it as JSON")


def run(arguments: Namespace) -> int:
    """Print all that has the id."""
    loaded, shipped = opened(arguments)
    found = described(RuleBase(loaded.knowledge, shipped), arguments.id)
    if arguments.json:
        rows = [{**one._asdict(), "place": str(one.place), "sections": dict(one.sections)} for one in found]
        say(json.dumps(rows, ensure_ascii=False, indent=2))
        return 0
    say("\n\n".join("\n".join(_lines(one)) for one in found))
    return 0


def _lines(one: Described) -> Iterator[str]:
    yield f"{one.kind} {one.id}"
    if one.title:
        yield f"  {one.title}"
    yield f"  {one.place}"
    for heading, lines in one.sections:
        yield f"  {heading}:"
        yield from (f"    {line}" for line in lines)
