"""Mends that are safe to make in the text itself: they change no meaning, and keep comments and order."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from diagnose.values.text import lines_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from diagnose.values.problem import Problem

__all__ = ["FIXABLE", "Change", "fixed"]

_OFFERED = re.compile(r"Did you mean '([a-z0-9-]+)'\?")
_PLAIN_ITEM = re.compile(r"[^,\]}#]*")


class Change(NamedTuple):
    """One line that was changed: what stood there and what stands there now, perhaps nothing or two lines."""

    problem: Problem
    before: str
    after: tuple[str, ...]


def fixed(problems: Iterable[Problem], texts: Mapping[str, str]) -> tuple[dict[str, str], list[Change]]:
    """Give the changed texts by file, and the changes; at most one a line, so that columns stay right.

    Line endings stay as they are in the file.
    """
    changes: list[Change] = []
    changed: dict[str, dict[int, tuple[str, ...]]] = {}
    for problem in problems:
        mend, text = FIXABLE.get(problem.code), texts.get(problem.place.file)
        number = problem.place.line - 1
        mine = changed.setdefault(problem.place.file, {})
        lines = lines_of(text) if text is not None else []
        if mend is None or number in mine or number >= len(lines):
            continue
        after = mend(lines[number], problem.place.column - 1, problem)
        if after is not None and after != (lines[number],):
            mine[number] = after
            changes.append(Change(problem, lines[number], after))
    return {file: _joined(texts[file], lines) for file, lines in changed.items() if lines}, changes


def _joined(text: str, changed: Mapping[int, tuple[str, ...]]) -> str:
    ending = "\r\n" if "\r\n" in text else "\n"
    lines = lines_of(text)
    return ending.join(line for at, old in enumerate(lines) for line in changed.get(at, (old,)))


def _tabs(line: str, _column: int, _problem: Problem) -> tuple[str, ...]:
    """Two blanks for each tab of the indentation, one for any other."""
    rest = line.lstrip(" \t")
    indent = line[: len(line) - len(rest)].replace("\t", "  ")
    return (indent + rest.replace("\t", " "),)


def _invisible(line: str, _column: int, _problem: Problem) -> tuple[str, ...]:
    return ("".join(one for one in line if one.isprintable() or one in "\t\u00a0\u202f"),)


def _ending(line: str, column: int, problem: Problem) -> tuple[str, ...] | None:
    """Put the mark that is wanted at the end of a text on one line, instead of a full stop."""
    wanted = problem.says.removeprefix("This must end in '").removesuffix("'.")
    text = line[column:].rstrip()
    quoted = text[:1] if text[:1] in "\"'" else ""
    if " #" in text or "{" in line[:column] or text[:1] in "|>" or (quoted and not text.endswith(quoted)):
        return None
    inner = text.removesuffix(quoted) if quoted else text
    return (line[:column] + inner.rstrip(" .") + wanted + quoted,)


def _twice(line: str, column: int, _problem: Problem) -> tuple[str, ...] | None:
    """Delete the second of two equal items: the whole line of a list in lines, or the item in brackets."""
    before = line[:column]
    if before.strip() == "-":
        return () if "#" not in line else None
    match = _PLAIN_ITEM.match(line, column)
    if match is None or not before.rstrip().endswith(","):
        return None
    return (before.rstrip().removesuffix(",") + line[match.end() :],)


def _key(line: str, column: int, problem: Problem) -> tuple[str, ...] | None:
    """Write the key that was meant, when it was only misspelt."""
    offered = _OFFERED.search(problem.mend)
    written = re.match(r"[^\s:]+", line[column:])
    if offered is None or written is None:
        return None
    return (line[:column] + offered[1] + line[column + written.end() :],)


def _hash(line: str, column: int, _problem: Problem) -> tuple[str, ...] | None:
    """Quote a text that a '#' cut off; a remark, a '#' with a blank after it, goes to a line of its own above."""
    text = line[column:].rstrip()
    at = text.find(" #")
    if at < 0 or "{" in line[:column] or '"' in text or "\\" in text:
        return None
    indent = line[: len(line) - len(line.lstrip())]
    if text[at + 2 : at + 3] in ("", " "):
        if line.lstrip().startswith("- "):
            return None
        return (f"{indent}{text[at + 1 :]}", line[:column] + text[:at].rstrip())
    return (f'{line[:column]}"{text}"',)


FIXABLE = {
    "tab": _tabs,
    "control-character": _invisible,
    "wrong-ending": _ending,
    "stands-twice": _twice,
    "unknown-key": _key,
    "unknown-section": _key,
    "text-cut-at-hash": _hash,
}
