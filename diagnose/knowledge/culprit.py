"""The line that has to be mended when the parser gives up further down: a quote never closed, a colon left out."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from diagnose.knowledge.nodes import Failure

__all__ = ["NO_COLON", "OPEN_QUOTE", "OUT_OF_LINE", "Spot", "culprit"]

NO_COLON = "A colon with a blank after it is missing: write 'key: text'."
OPEN_QUOTE = "A quote is opened and never closed: put the closing quote."
OUT_OF_LINE = "This line stands further in or out than its neighbours: line the keys up."

_KEY = re.compile(r"\s*(- )*[A-Za-z0-9][\w' -]*:( |$)|\s*- |\s*[\]}]|\s*#|\s*$")
_BEFORE_VALUE = r"(?:^\s*(?:- )*|: |[\[{,] ?|- )"
_OPENS = re.compile(_BEFORE_VALUE + r"([\"'])")
_COLON = re.compile(r": |:$")
_STEP = 2  # blanks for each step of indentation


class Spot(NamedTuple):
    """A line by its number, a column from nought, and the mend where the slip itself tells it."""

    number: int
    column: int
    mend: str


def culprit(lines: Sequence[str], failed: Failure) -> Spot | None:
    """Give the line at fault when it lies above the one where reading stopped; None when it does not seem to."""
    at = failed.number - 1
    return next((spot for spot in _suspects(lines, at, failed) if spot.number <= failed.number), None)


def _suspects(lines: Sequence[str], at: int, failed: Failure) -> Iterator[Spot]:
    yield from _open_quotes(lines, at)
    before = _above(lines, at)
    if before is None:
        return
    context, problem = failed.words[1:]
    if context.endswith("simple key") and 0 < failed.opened < at + 1:
        yield _spot(lines, failed.opened - 1, NO_COLON)
    first_colon = ": " not in failed.line[: failed.column]
    if "not allowed" in problem and first_colon and not _COLON.search(_content(lines[before])):
        yield _spot(lines, before, NO_COLON)
    if context.endswith(("flow sequence", "flow mapping")) and failed.opened < at + 1 and _KEY.match(lines[at]):
        yield _spot(lines, before, "")
    yield from _out_of_line(lines, at, before)


def _open_quotes(lines: Sequence[str], at: int) -> Iterator[Spot]:
    """Give the first line up to the failure whose quote stays open though the next line starts something new."""
    for number, line in enumerate(lines[: at + 1]):
        found = _opened(line)
        if found is not None and (number + 1 >= len(lines) or _KEY.match(lines[number + 1])):
            yield Spot(number + 1, found, OPEN_QUOTE)
            return


def _opened(line: str) -> int | None:
    """Give the column of a quote that opens a value and is not closed on its line."""
    start = 0
    while (match := _OPENS.search(line, start)) is not None:
        column, mark = match.start(1), match[1]
        rest = line[column + 1 :]
        rest = re.sub(r"\\.", "  ", rest) if mark == '"' else rest.replace("''", "  ")
        end = rest.find(mark)
        if end < 0:
            return column
        start = column + end + 2
    return None


def _out_of_line(lines: Sequence[str], at: int, before: int) -> Iterator[Spot]:
    """Give a line above that stands by an odd blank, or nearer to the margin than both its neighbours."""
    here, its = _indent(lines[at]), _indent(lines[before])
    if its % _STEP and not here % _STEP:
        yield _spot(lines, before, OUT_OF_LINE)
    two_above = _above(lines, before)
    if two_above is not None and _indent(lines[two_above]) == here > its and not lines[before].rstrip().endswith(":"):
        yield _spot(lines, before, OUT_OF_LINE)
    parent = next((one for one in range(before, -1, -1) if lines[one].strip() and _indent(lines[one]) < here), None)
    if parent is not None and parent < before and lines[parent].rstrip().endswith(":"):
        child = next(one for one in range(parent + 1, at + 1) if lines[one].strip())
        too_deep = _indent(lines[parent]) == here - _STEP < _indent(lines[child]) - _STEP
        if too_deep and not lines[child].lstrip().startswith("- "):
            yield _spot(lines, parent, OUT_OF_LINE)


def _above(lines: Sequence[str], at: int) -> int | None:
    """Give the nearest line above that holds more than a remark."""
    return next((one for one in range(at - 1, -1, -1) if _content(lines[one])), None)


def _content(line: str) -> str:
    return line.split(" #", maxsplit=1)[0].strip() if not line.lstrip().startswith("#") else ""


def _indent(line: str) -> int:
    """Give the column of the key on a line, which may follow the dash of a list."""
    return len(line) - len(line.lstrip(" -"))


def _spot(lines: Sequence[str], at: int, mend: str) -> Spot:
    return Spot(at + 1, _indent(lines[at]), mend)
