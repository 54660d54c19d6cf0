"""``diagnose journal check | export | import | backup``."""

from __future__ import annotations

import contextlib
import sys
from pathlib import Path
from typing import IO, TYPE_CHECKING

from diagnose.commands import wiring
from diagnose.journal.checking import check, rescue
from diagnose.journal.exporting import csv_rows, json_lines, take_in, write_csv
from diagnose.journal.failures import JournalError
from diagnose.journal.store import open_journal, open_to_read
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Iterator

__all__ = ["run_backup", "run_check", "run_export", "run_import"]

_MOST_SHOWN = 20


def run_check(arguments: Namespace) -> int:
    """Say whether the journal is whole; exit status 1 when it is not. Rescue what can be read, if wanted."""
    path = wiring.journal_path(arguments)
    try:
        faults = check(open_to_read(path))
    except JournalError as error:
        if not error.damaged:
            raise
        faults = (str(error),)
    for fault in faults[:_MOST_SHOWN]:
        wiring.say(fault)
    if len(faults) > _MOST_SHOWN:
        wiring.say(f"... and {len(faults) - _MOST_SHOWN} more.")
    if arguments.rescue:
        _rescue(path, Path(arguments.rescue))
    elif faults:
        wiring.say("To save all that can be read: diagnose journal check --rescue FILE. The damaged file stays.")
    else:
        wiring.say(f"The journal is whole: {path}")
    return 1 if faults else 0


def _rescue(path: Path, to: Path) -> None:
    saved = rescue(path, to)
    lost = f"{len(saved.lost)} lost (numbers {_ranges(saved.lost)})" if saved.lost else "none known to be lost"
    wiring.say(f"Saved to {to}: {saved.events} events, {saved.revisions} revisions of rules; {lost}.")


def _ranges(numbers: tuple[int, ...]) -> str:
    ranges: list[list[int]] = []
    for number in numbers:
        if ranges and number == ranges[-1][1] + 1:
            ranges[-1][1] = number
        else:
            ranges.append([number, number])
    shown = ", ".join(f"{first}" if first == last else f"{first} to {last}" for first, last in ranges[:8])
    return f"{shown}, ..." if len(ranges) > 8 else shown  # noqa: PLR2004 - as many as are shown


def run_export(arguments: Namespace) -> int:
    """Write every event as JSON Lines or CSV; quiz attempts, which name trainees, only when asked for."""
    journal = open_to_read(wiring.journal_path(arguments))
    without = () if arguments.quizzes else ("quiz",)
    with _opened(arguments.out) as file:
        if arguments.csv:
            write_csv(csv_rows(journal, without), file)
        else:
            file.writelines(f"{line}\n" for line in json_lines(journal, without))
    if arguments.out != "-":
        wiring.say(f"Written: {arguments.out}")
    return 0


@contextlib.contextmanager
def _opened(out: str) -> Iterator[IO[str]]:
    if out == "-":
        yield sys.stdout
        return
    try:
        with Path(out).open("w", encoding="utf-8", newline="") as file:
            yield file
    except OSError as error:
        raise DiagnoseError(f"The file cannot be written: {error.strerror}.", where=out) from error


def run_import(arguments: Namespace) -> int:
    """Take in exported events; exit status 1 when a line was refused."""
    journal = open_journal(wiring.journal_path(arguments))
    try:
        if arguments.file == "-":
            taken = take_in(journal, sys.stdin)
        else:
            with Path(arguments.file).open(encoding="utf-8", errors="replace") as file:
                taken = take_in(journal, file)
    except OSError as error:
        raise DiagnoseError(f"The file cannot be read: {error.strerror}.", where=arguments.file) from error
    wiring.say(f"{taken.added} events added, {taken.known} were here already, {len(taken.refused)} lines refused.")
    for line in taken.refused[:_MOST_SHOWN]:
        wiring.say(f"  {line}")
    return 1 if taken.refused else 0


def run_backup(arguments: Namespace) -> int:
    """Write a whole copy to a new file."""
    to = Path(arguments.file)
    if to.exists():
        raise DiagnoseError("This file stands already.", where=str(to), mend="Name a new one.")
    part = to.with_name(f"{to.name}.part")
    part.unlink(missing_ok=True)
    open_to_read(wiring.journal_path(arguments)).copy_to(part)
    part.replace(to)
    wiring.say(f"Written: {to}")
    return 0
