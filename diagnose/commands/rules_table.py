"""``diagnose rules table``: the words of the rules as a table for a spreadsheet, and back into the rules."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.commands.rule_files import add_rules_option, file_path, opened, read_text, write_bytes, write_text
from diagnose.commands.wiring import say
from diagnose.knowledge import library
from diagnose.planning.tables import Cell, Edit, as_csv, edits, from_csv, rows, with_edits
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from diagnose.knowledge.model import Knowledge

__all__ = ["add_arguments", "run"]


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_rules_option(parser)
    parser.add_argument("file", metavar="FILE", help="a table, FILE.csv or FILE.xlsx")
    parser.add_argument("--read", action="store_true", help="read the table back into the rules; else it is written")
    parser.add_argument("--dry-run", action="store_true", help="with --read: tell what would change and change nothing")


def run(arguments: Namespace) -> int:
    """Write the table, or read it back; exit status 1 when there are conflicts, and then nothing is changed."""
    path = Path(arguments.file)
    if path.suffix not in (".csv", ".xlsx"):
        raise DiagnoseError(f"'{path.name}' is no table.", mend="Name it FILE.csv or FILE.xlsx.")
    loaded = opened(arguments).loaded
    if loaded.problems:
        raise DiagnoseError("The rules hold faults.", mend="Run 'diagnose rules check' and mend them first.")
    if arguments.read:
        return _read(path, loaded.knowledge, arguments)
    cells = list(rows(loaded.knowledge))
    write_bytes(path, _written(path, cells, loaded.knowledge))
    say(f"Written: {path}, {len(cells)} words. Change the column 'word' and read it back with --read.")
    return 0


def _written(path: Path, cells: list[Cell], knowledge: Knowledge) -> bytes:
    if path.suffix == ".csv":
        return as_csv(cells).encode("utf-8-sig")  # the mark tells spreadsheets that it is UTF-8
    from diagnose.planning.workbook import as_workbook

    return as_workbook(cells, knowledge.scales)


def _cells(path: Path) -> tuple[list[Cell], list[str]]:
    if not path.is_file():
        raise DiagnoseError("There is no such table.", where=str(path))
    if path.suffix == ".csv":
        text = read_text(path)
        if text is None:
            raise DiagnoseError("The table is not UTF-8 text.", where=str(path), mend="Save it as CSV in UTF-8.")
        return from_csv(text)
    from diagnose.planning.workbook import from_workbook

    return from_workbook(path.read_bytes())


def _read(path: Path, knowledge: Knowledge, arguments: Namespace) -> int:
    cells, faults = _cells(path)
    changes, conflicts = edits(cells, knowledge)
    by_file: defaultdict[str, list[Edit]] = defaultdict(list)
    for change in changes:
        by_file[change.place.file].append(change)
    conflicts = [*faults, *conflicts, *_not_ours(by_file, arguments)]
    texts = {file: with_edits(read_text(file_path(file, arguments)) or "", some) for file, some in by_file.items()}
    conflicts += [line for _, lost in texts.values() for line in lost]
    for line in conflicts:
        say(f"conflict: {line}")
    for change in changes:
        say(f"{change.place}: {change.key} {change.old} to {change.new}")
    if conflicts:
        say("Nothing was changed.")
        return 1
    for file, (text, _) in texts.items():
        if not arguments.dry_run:
            write_text(file_path(file, arguments), text)
    say(f"{len(changes)} words {'would be changed' if arguments.dry_run else 'changed'}.")
    return 0


def _not_ours(by_file: dict[str, list[Edit]], arguments: Namespace) -> list[str]:
    """Refuse to change the shipped files: a site says it in its own rules."""
    if arguments.rules:
        return []
    shipped = library.shipped_rules()
    return [
        f"{some[0].place}: this is a shipped rule; copy it into the site's rules and change it there"
        for file, some in by_file.items()
        if file_path(file, arguments).is_relative_to(shipped)
    ]
