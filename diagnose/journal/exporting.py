"""The whole journal as JSON Lines, to be taken in again elsewhere; and as CSV, for a spreadsheet."""

from __future__ import annotations

import csv
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from diagnose.journal.revisions import add_rules, kept_rules
from diagnose.journal.store import Journal, Kept
from diagnose.values.text import inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

__all__ = ["TakenIn", "csv_rows", "json_lines", "take_in", "write_csv"]

_CSV = ("number", "run", "kind", "at", "machine", "rules", "program", "what", "finding", "said", "body")
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_TEXTS = ("run", "kind", "at", "machine", "rules")


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What came of an import: events added, events that stood already, and a line for each that was refused."""

    added: int
    known: int
    refused: tuple[str, ...]


def _events(journal: Journal, kinds: Iterable[str]) -> Iterator[Kept]:
    left_out = set(kinds)
    return (event for event in journal.select("ORDER BY number") if event.kind not in left_out)


def json_lines(journal: Journal, without: Iterable[str] = ()) -> Iterator[str]:
    """Yield every event as a line of JSON, then the rule texts kept; ``without`` names kinds to leave out."""
    for event in _events(journal, without):
        yield json.dumps(
            {
                "number": event.number,
                **{name: getattr(event, name) for name in _TEXTS},
                "program": event.program,
                "body": event.body,
            }
        )
    for revision, at in list(journal.rows("SELECT rules, at FROM revision ORDER BY at, rules")):
        yield json.dumps({"revision": revision, "at": at, "texts": kept_rules(journal, revision)})


def csv_rows(journal: Journal, without: Iterable[str] = ()) -> Iterator[list[str]]:
    """Yield a heading and a row for each event; no cell can be taken for a formula or act on a screen."""
    yield list(_CSV)
    for event in _events(journal, without):
        body = event.body
        answer = body.get("answer")
        said = "can't tell" if answer and answer.get("cannot_tell") else _said(answer)
        plain = [event.number, event.run, event.kind, event.at, event.machine, event.rules, event.program]
        row = [*plain, body.get("kind", ""), body.get("finding", ""), said, json.dumps(body)]
        yield [_harmless(str(cell)) for cell in row]


def _said(answer: Any) -> str:  # noqa: ANN401 - JSON of any shape
    if not isinstance(answer, dict):
        return ""
    return str(answer.get("value") or ("" if answer.get("number") is None else answer["number"]))


def _harmless(cell: str) -> str:
    shown = inert(cell)
    return f"'{shown}" if cell.startswith(_FORMULA) and not _is_number(cell) else shown


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def write_csv(rows: Iterable[list[str]], file: Any) -> None:  # noqa: ANN401 - any text file
    """Write rows as CSV (RFC 4180)."""
    csv.writer(file).writerows(rows)


def take_in(journal: Journal, lines: Iterable[str]) -> TakenIn:
    """Add the events and rule texts of exported lines, in their order; what stands already is left as it is.

    A line that is no event, or whose consultation would be mixed with another of the same id, is refused by number.
    All that is added is added together, or nothing where the journal cannot be written.
    """
    taking = _Taking(journal, set(journal.runs()))
    with journal.writing():
        for number, line in enumerate(lines, 1):
            if line.strip():
                taking.line(number, line)
    return TakenIn(taking.added, taking.known, tuple(taking.refused))


class _Taking:
    """An import under way."""

    def __init__(self, journal: Journal, ours: set[str]) -> None:
        self.journal, self.ours = journal, ours
        self.mixed: set[str] = set()
        self.added = self.known = 0
        self.refused: list[str] = []

    def line(self, number: int, line: str) -> None:
        event = _parsed(line)
        if event is None:
            self.refused.append(f"line {number}: not an event of this journal")
        elif isinstance(event, dict):
            add_rules(self.journal, event["revision"], event["at"], event["texts"])
        elif _stands(self.journal, event):
            self.known += 1
        elif event.run in self.mixed or _begins_another(event, self.ours):
            self.mixed.add(event.run)
            self.refused.append(f"line {number}: '{event.run}' is the id of another consultation here")
        else:
            self.journal.add(event)
            self.added += 1


def _parsed(line: str) -> Kept | dict[str, Any] | None:
    try:
        row = json.loads(line)
        if "revision" in row:
            return row if isinstance(row["texts"], dict) and isinstance(row["at"], str) else None
        run, kind, at, machine, rules = texts = [row[name] for name in _TEXTS]
        event = Kept(0, run, kind, at, machine, rules, row["body"], row.get("program", ""))
    except (ValueError, KeyError, TypeError):
        return None
    sound = all(isinstance(text, str) and text.isascii() for text in (*texts, event.program))
    return event if sound and event.run and event.kind and isinstance(event.body, dict) else None


def _stands(journal: Journal, event: Kept) -> bool:
    same = "WHERE run = ? AND kind = ? AND at = ?"
    return any(dict(one.body) == event.body for one in journal.select(same, (event.run, event.kind, event.at)))


def _begins_another(event: Kept, ours: set[str]) -> bool:
    return event.kind == "consultation" and event.run in ours and event.body.get("kind") == "Started"
