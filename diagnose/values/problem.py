"""A fault in what somebody wrote: where it is, what it is, how to mend it; and our own exceptions."""

from __future__ import annotations

from typing import NamedTuple

from diagnose.values.text import inert, lines_of, width

__all__ = ["DiagnoseError", "Place", "Problem", "frame"]

_FRAME_WIDTH = 100


class Place(NamedTuple):
    """Where something was written: file as the planner knows it, line and column counted from one."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{inert(self.file)}:{self.line}:{self.column}"


class Problem(NamedTuple):
    """One fault. Problems sort by place; ``code`` is the kind, ``says`` what is wrong, ``mend`` how to put it right."""

    place: Place
    code: str
    says: str
    mend: str = ""

    def line(self) -> str:
        """``file:line:column code message``, the mend after it, on one line that cannot act on a terminal."""
        return inert(f"{self.place} {self.code} {self.says} {self.mend}".rstrip())


class DiagnoseError(Exception):
    """What we tell the user in one line instead of a traceback: what, where, how to mend it."""

    def __init__(self, says: str, *, where: str = "", mend: str = "") -> None:
        super().__init__(says)
        self.says = says
        self.where = where
        self.mend = mend

    def lines(self) -> tuple[str, ...]:
        """Return the complaint in harmless lines; only a list of faults takes more than one."""
        where = f"{self.where}: " if self.where else ""
        return tuple(inert(line) for line in f"{where}{self.says} {self.mend}".rstrip().split("\n"))

    def __str__(self) -> str:
        where = f"{self.where}: " if self.where else ""
        return inert(f"{where}{self.says} {self.mend}".rstrip())


def frame(problem: Problem, text: str) -> str:
    """Show the offending line of ``text`` with its number, and a caret under the column, in two lines.

    A place past the end shows an empty line; a long line is cut to the part around the column.
    """
    lines = lines_of(text)
    number, column = problem.place.line, problem.place.column
    line = lines[number - 1] if 0 < number <= len(lines) else ""
    start = max(0, column - _FRAME_WIDTH)
    shown = inert(line[start : start + _FRAME_WIDTH + 20])
    before = width(inert(line[start : column - 1]))
    gutter = f"{number:>5} | "
    return f"{gutter}{shown}\n{'|':>{len(gutter) - 1}} {' ' * before}^"
