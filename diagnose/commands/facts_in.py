"""A consultation opened the usual way with facts already in: from rounds, or from something worked out."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterable

__all__ = ["add_switches", "consult_with"]

_SWITCHES = ("plain", "no_input", "no_journal", "json")


def add_switches(parser: ArgumentParser) -> None:
    """Declare how a consultation that is opened shall run."""
    parser.add_argument("--plain", action="store_true", help="with --consult: line by line")
    parser.add_argument("--no-input", action="store_true", help="with --consult: ask nobody")
    parser.add_argument("--no-journal", action="store_true", help="keep no record")


def consult_with(arguments: Namespace, machine: str, phase: str, readings: Iterable[str]) -> int:
    """Open one on this machine; each reading is ``NAME=VALUE``, or ``MACHINE:NAME=VALUE`` of another machine."""
    from diagnose.commands import consult

    parser = ArgumentParser()
    parser.add_argument("--site")
    consult.add_arguments(parser)
    site = ["--site", arguments.site] if arguments.site else []
    switches = [f"--{name.replace('_', '-')}" for name in _SWITCHES if getattr(arguments, name)]
    given = [f"--reading={one}" for one in readings]
    return consult.run(parser.parse_args([*site, "--machine", machine, "--phase", phase, *switches, *given]))
