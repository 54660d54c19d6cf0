"""``diagnose rules table``: the words of the rules as a table for a spreadsheet, and back into the rules."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.commands.rule_files import (
    add_rules_option,
    faultless,
    file_path,
    read_text,
    site_rules,
    write_bytes,
    write_text,
)
from diagnose.commands.wiring import say
from diagnose.knowledge import library
from diagnose.planning.insertion import entry_at, inserted
from diagnose.planning.tables import Cell, Edit, as_csv, edits, from_csv, rows, with_edits
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from diagnose.knowledge.model import Knowledge

__all__ = ["add_arguments", "run"]

_OWN = "words.yaml"  # in the site's rules: where shipped entries go whose words the site has changed


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
    knowledge = faultless(arguments)
    if arguments.read:
        return _read(path, knowledge, arguments)
    cells = list(rows(knowledge))
    write_bytes(path, _written(path, cells, knowledge))
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
    texts = {file: with_edits(read_text(file_path(file, arguments)) or "", some) for file, some in by_file.items()}
    conflicts = [*faults, *conflicts, *(line for _, lost in texts.values() for line in lost)]
    for line in conflicts:
        say(f"conflict: {line}")
    for change in changes:
        say(f"{change.place}: {change.key} {change.old} to {change.new}")
    if conflicts:
        say("Nothing was changed.")
        return 1
    new = {file_path(file, arguments): text for file, (text, _) in texts.items()}
    new = _in_the_site(new, {file_path(file, arguments): some for file, some in by_file.items()}, arguments)
    for file, text in new.items():
        if not arguments.dry_run:
            write_text(file, text)
    where = f" in {', '.join(map(str, new))}" if new else ""
    say(f"{len(changes)} words {'would be changed' if arguments.dry_run else 'changed'}{where}.")
    return 0


def _in_the_site(new: dict[Path, str], changed: dict[Path, list[Edit]], arguments: Namespace) -> dict[Path, str]:
    """Put shipped entries that change into the site's own rules, whole: there they take the place of the shipped."""
    shipped = (
        {} if arguments.rules else {path: new[path] for path in new if path.is_relative_to(library.shipped_rules())}
    )
    if not shipped:
        return new
    path = site_rules(arguments) / _OWN
    text = new.get(path) or (read_text(path) if path.exists() else None) or ""
    entries = {entry_at(whole, one.place.line): None for file, whole in shipped.items() for one in changed[file]}
    for section, entry in entries:
        text = inserted(text, section, entry)
    return {**{file: whole for file, whole in new.items() if file not in shipped}, path: text}
