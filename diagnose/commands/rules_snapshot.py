"""``diagnose rules snapshot``: what each rule does by itself, kept in the site's folder, and what is different now."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING

from diagnose.commands.case_runs import on_all_processors
from diagnose.commands.rule_files import add_rules_option, faultless, read_text, write_text
from diagnose.commands.wiring import say, site_folder
from diagnose.planning.snapshot import Row, changes, grouped, seen
from diagnose.planning.snapshot_file import as_csv, from_csv
from diagnose.planning.snapshot_rows import chosen
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from pathlib import Path

    from diagnose.knowledge.model import Knowledge, Rule

__all__ = ["add_arguments", "kept_rows", "run"]

_SHOWN = 40


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_rules_option(parser)
    parser.add_argument("--accept", action="store_true", help="show what is different, and keep what the rules do now")
    parser.add_argument("--afresh", action="store_true", help="with --accept: choose the rows of every rule anew")
    parser.add_argument("--all", action="store_true", help="show every row that is different, not only the first")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(arguments: Namespace) -> int:
    """Compare, and keep where that is wanted; exit status 1 when something is different and was not accepted."""
    knowledge = faultless(arguments)
    path = site_folder(arguments) / "snapshot.csv"
    kept = kept_rows(path)
    if kept is None and not arguments.accept:
        mend = "Look the rules over, then keep what they do with --accept."
        raise DiagnoseError("Nothing is kept for this site yet.", where=str(path), mend=mend)
    different = _different(kept or [], knowledge)
    new = sorted(knowledge.rules.keys() - {row.probe.rule for row in kept or []})
    if arguments.json:
        say(json.dumps(_as_json(kept or [], different, new), ensure_ascii=False, indent=2))
    else:
        for line in _lines(kept or [], different, new, everything=arguments.all):
            say(line)
    if not arguments.accept:
        return int(bool(different or new))
    again = {row.probe.rule for row, _ in different} | set(new)
    if arguments.afresh:
        again |= knowledge.rules.keys()
    rows = [row for row in kept or [] if row.probe.rule in knowledge.rules.keys() - again]
    rows += _chosen([rule for rule in knowledge.rules.values() if rule.id in again], knowledge)
    rows.sort(key=lambda row: knowledge.rules[row.probe.rule].order)
    write_text(path, as_csv(rows))
    if not arguments.json:
        say(f"Kept: {len(rows)} rows of {len({row.probe.rule for row in rows})} rules in {path}.")
    return 0


def kept_rows(path: Path) -> list[Row] | None:
    """Read what is kept; None when nothing is. Raises DiagnoseError when it is no snapshot."""
    text = read_text(path) if path.exists() else None
    if text is None:
        return None
    try:
        return from_csv(text)
    except ValueError as error:
        mend = "Take the file back from where it is kept safe, or delete it and run with --accept."
        raise DiagnoseError(f"This is no snapshot: {error}.", where=str(path), mend=mend) from error


def _different(kept: list[Row], knowledge: Knowledge) -> list[tuple[Row, list[str]]]:
    groups = grouped(kept)
    found = on_all_processors(
        "rows", groups, lambda rows: list(seen([(row.probe, list(row.seen.causes)) for row in rows], knowledge))
    )
    pairs = [pair for rows, some in zip(groups, found, strict=True) for pair in zip(rows, some, strict=True)]
    return [(row, lines) for row, now in pairs if (lines := list(changes(row, now)))]


def _chosen(rules: list[Rule], knowledge: Knowledge) -> list[Row]:
    """Choose the rows of these rules anew; rules that lie side by side share their situations."""
    size = max(1, -(-len(rules) // (2 * (os.cpu_count() or 1))))
    parts = [rules[at : at + size] for at in range(0, len(rules), size)]
    found = on_all_processors("rules", parts, lambda part: [row for rows in chosen(part, knowledge) for row in rows])
    return [row for rows in found for row in rows]


def _lines(kept: list[Row], different: list[tuple[Row, list[str]]], new: list[str], *, everything: bool) -> list[str]:
    lines = []
    for row, says in different if everything else different[:_SHOWN]:
        said = ", ".join(f"{name} {value}" for name, value in row.probe.said)
        lines += [f"{row.probe.rule}, {row.probe.why}; {row.probe.machine}, {row.probe.phase}: {said}"]
        lines += [f"  {one}" for one in says]
    if len(different) > _SHOWN and not everything:
        lines.append(f"and {len(different) - _SHOWN} more rows; --all lists them")
    lines += [f"rule {one} has no row yet" for one in new]
    rules = len({row.probe.rule for row, _ in different})
    if not different and not new:
        return [f"{len(kept)} rows: every rule does what was kept."]
    head = f"{len(kept)} rows: {len(different)} are different, of {rules} rules; {len(new)} rules have none."
    return [*lines, head, "If that is what you want, keep it: diagnose rules snapshot --accept"]


def _as_json(kept: list[Row], different: list[tuple[Row, list[str]]], new: list[str]) -> dict[str, object]:
    return {
        "rows": len(kept),
        "different": [{**row.probe._asdict(), "changes": says} for row, says in different],
        "rules-without-a-row": new,
    }
