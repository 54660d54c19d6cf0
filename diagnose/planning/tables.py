"""The words of the rules as rows of a table, out and back: every link, every 'otherwise', every 'how-common'."""

from __future__ import annotations

import csv
import io
import re
from typing import TYPE_CHECKING, NamedTuple

from diagnose.values.names import did_you_mean
from diagnose.values.text import lines_of, one_line

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from diagnose.knowledge.model import Knowledge
    from diagnose.values.problem import Place

__all__ = ["COLUMNS", "Cell", "Edit", "as_csv", "edits", "from_csv", "rows", "with_edits"]

COLUMNS = ("kind", "rule", "symptom", "cause", "was", "word")
LINK, OTHERWISE, HOW_COMMON = "link", "otherwise", "how-common"


class Cell(NamedTuple):
    """One word: what it belongs to, what it was when it was written out, what it is to be, and where it stands."""

    kind: str
    rule: str
    symptom: str
    cause: str
    was: str
    word: str

    @property
    def key(self) -> tuple[str, str, str]:
        """What the word belongs to."""
        return self.kind, self.rule, self.cause


class Edit(NamedTuple):
    """One word to change in the text: below or at a place, the key, the word that stands there and the new one."""

    place: Place
    key: str
    old: str
    new: str


def rows(knowledge: Knowledge) -> Iterator[Cell]:
    """Give every word that somebody may weigh, in file order: each rule's links and leak, then the causes."""
    for rule in knowledge.rules.values():
        if rule.symptom and rule.links:
            symptom = ": ".join(rule.symptom)
            for link in rule.links:
                yield Cell(LINK, rule.id, symptom, link.cause, link.word, link.word)
            yield Cell(OTHERWISE, rule.id, symptom, "", rule.otherwise_word, rule.otherwise_word)
    for cause in knowledge.causes.values():
        yield Cell(HOW_COMMON, "", cause.title, cause.id, cause.how_common, cause.how_common)


def as_csv(cells: Sequence[Cell]) -> str:
    """Write the rows as CSV with a heading, for any spreadsheet."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows(cells)
    return out.getvalue()


def from_csv(text: str) -> tuple[list[Cell], list[str]]:
    """Read rows back, and what is wrong with the table itself; between commas or semicolons, as it was written."""
    lines = text.removeprefix("\ufeff").splitlines()
    mark = ";" if lines and lines[0].count(";") > lines[0].count(",") else ","
    reader = csv.reader(lines, delimiter=mark)
    try:
        return table_rows(list(reader))
    except csv.Error as error:
        return [], [f"row {reader.line_num}: {error}"]


def table_rows(written: list[list[str]]) -> tuple[list[Cell], list[str]]:
    """Sort cells by the heading; a heading that is missing is told, columns of one's own are left alone."""
    heading = [one.strip().lower() for one in written[0]] if written else []
    missing = [one for one in COLUMNS if one not in heading]
    if missing:
        return [], [f"row 1: the column '{one}' is missing" for one in missing]
    order = [heading.index(one) for one in COLUMNS]
    full = ([*row, *[""] * len(heading)] for row in written[1:] if any(one.strip() for one in row))
    return [Cell(*(row[at].strip() for at in order)) for row in full], []


def edits(cells: Sequence[Cell], knowledge: Knowledge) -> tuple[list[Edit], list[str]]:
    """Give what is to be changed, and the conflicts, each with its row and column.

    A word is in conflict when it is none of the scale, belongs to nothing in the rules, or was changed in the rules
    since the table was written and to something else.
    """
    now = {one.key: one.word for one in rows(knowledge)}
    found: list[Edit] = []
    conflicts: list[str] = []
    seen: set[tuple[str, str, str]] = set()
    for number, cell in enumerate(cells, 2):
        complaint = _complaint(cell, now, seen, knowledge)
        seen.add(cell.key)
        if complaint:
            conflicts.append(f"row {number}, column {complaint}")
        elif cell.word != now[cell.key]:
            found.append(_edit(cell, now[cell.key], knowledge))
    return found, conflicts


def _complaint(
    cell: Cell, now: Mapping[tuple[str, str, str], str], seen: set[tuple[str, str, str]], knowledge: Knowledge
) -> str:
    scale = knowledge.scales.how_common if cell.kind == HOW_COMMON else knowledge.scales.frequency
    if cell.kind not in (LINK, OTHERWISE, HOW_COMMON):
        return f"kind: '{one_line(cell.kind)}' is none of {LINK}, {OTHERWISE}, {HOW_COMMON}"
    if cell.key not in now:
        column = "cause" if cell.rule in knowledge.rules or cell.kind == HOW_COMMON else "rule"
        return f"{column}: the rules hold no {cell.kind} of '{one_line(' '.join(filter(None, cell[1:4:2])))}'"
    if cell.key in seen:
        return f"rule: a row above is about the same {cell.kind}"
    if cell.word not in scale:
        return f"word: '{one_line(cell.word)}' is no word of the scale. {did_you_mean(cell.word, scale)}".strip()
    if now[cell.key] not in (cell.was, cell.word) and cell.word != cell.was:
        return f"word: '{cell.word}' here, '{now[cell.key]}' in the rules, '{cell.was}' when the table was written"
    if cell.word == cell.was != now[cell.key]:
        return f"was: the rules have changed to '{now[cell.key]}' since the table was written"
    return ""


def _edit(cell: Cell, old: str, knowledge: Knowledge) -> Edit:
    if cell.kind == HOW_COMMON:
        return Edit(knowledge.causes[cell.cause].place, "how-common", old, cell.word)
    rule = knowledge.rules[cell.rule]
    if cell.kind == OTHERWISE:
        return Edit(rule.place, "otherwise", old, cell.word)
    return Edit(next(link.place for link in rule.links if link.cause == cell.cause), cell.cause, old, cell.word)


def with_edits(text: str, changes: Sequence[Edit]) -> tuple[str, list[str]]:
    """Change the words in one file's text and leave every other character; tell what could not be found."""
    ending = "\r\n" if "\r\n" in text else "\n"
    lines, lost = lines_of(text), []
    for change in changes:
        at, pattern = change.place.line - 1, _pattern(change)
        deepest = len(lines) if change.key in ("otherwise", "how-common") else at + 2
        for number in range(at, min(deepest, len(lines))):
            start = change.place.column - 1 if number == at else 0
            if number > at and change.key in ("otherwise", "how-common") and _begins_anew(lines[number], lines[at]):
                lost.append(f"{change.place}: '{change.key}: {change.old}' is not written here; write it first")
                break
            match = pattern.search(lines[number], start)
            if match:
                lines[number] = lines[number][: match.start("word")] + change.new + lines[number][match.end("word") :]
                break
        else:
            lost.append(f"{change.place}: '{change.key}: {change.old}' could not be found")
    return ending.join(lines), lost


def _pattern(change: Edit) -> re.Pattern[str]:
    """Match ``key: word``, ``key: {seen: word`` and, on a line of its own, ``seen: word``."""
    word = rf"(?P<quote>[\"']?)(?P<word>{re.escape(change.old)})(?P=quote)(?=\s*([,}}#]|$))"
    return re.compile(rf"(?:\b{re.escape(change.key)}:\s+(?:\{{[^}}]*?\bseen:\s+)?|^\s+seen:\s+){word}")


def _begins_anew(line: str, head: str) -> bool:
    """Tell whether a line belongs to the next entry: it stands no further in than the head of this one."""
    indent = len(head) - len(head.lstrip())
    return bool(line.strip()) and not line.lstrip().startswith("#") and len(line) - len(line.lstrip()) <= indent
