"""``diagnose rules schema``: the format for editors, as JSON Schema."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.commands.rule_files import add_rules_option, opened, write_text
from diagnose.commands.wiring import say
from diagnose.planning.json_schema import FILES, json_schema

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

__all__ = ["add_arguments", "run"]


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_rules_option(parser)
    parser.add_argument("file", choices=FILES, nargs="?", default="rules", help="which kind of file (default rules)")
    parser.add_argument("--out", metavar="DIR", help="write all of them into this folder, as KIND.schema.json")


def run(arguments: Namespace) -> int:
    """Print one schema, or write all."""
    knowledge = opened(arguments).loaded.knowledge
    if not arguments.out:
        say(json.dumps(json_schema(arguments.file, knowledge), indent=1))
        return 0
    for file in FILES:
        path = Path(arguments.out) / f"{file}.schema.json"
        write_text(path, json.dumps(json_schema(file, knowledge), indent=1) + "\n")
        say(str(path))
    say("Begin a file with '# yaml-language-server: $schema=PATH' and the editor completes and checks it.")
    return 0
