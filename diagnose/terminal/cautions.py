"""Cautions as lines that stay on the screen: in full where there is room, shorter where not, never left out."""

from __future__ import annotations

from collections.abc import Callable

from diagnose.consultation.view import CautionRow, View
from diagnose.consultation.wording import RANK_WORDS, REFER_WORDS
from diagnose.terminal import words
from diagnose.terminal.ending import caution_lines
from diagnose.terminal.lines import Line, cut, wrapped
from diagnose.terminal.style import RANK_STYLES, Style

__all__ = ["fitted", "in_full"]


Telling = Callable[[CautionRow, int], list[Line]]


def in_full(view: View, columns: int) -> list[Line]:
    """Every caution with what to do, the local procedure, what it rests on and its source."""
    return [
        line
        for caution in words.cautions_in_order(view)
        for style, text in caution_lines(caution)
        for line in wrapped(style, text, columns)
    ]


def fitted(view: View, columns: int, rows: int) -> tuple[list[Line], bool]:
    """Return the cautions as fully as so many rows allow, and whether each says what to do.

    At the least each has its rank and first words on a row.
    """
    all_doing = _each(view, columns, _doing, _doing)
    tried = (all_doing, _each(view, columns, _doing, _saying), _each(view, columns, _saying, _saying))
    lines = next((lines for lines in tried if len(lines) <= rows), None) or _one_row_each(view, columns)
    return lines, lines == all_doing


def _each(view: View, columns: int, first: Telling, others: Telling) -> list[Line]:
    lines: list[Line] = []
    for index, caution in enumerate(words.cautions_in_order(view)):
        lines += (others if index else first)(caution, columns)
    if words.DANGEROUS in view.refer:
        lines += wrapped(Style.CALL_SUPERVISOR, REFER_WORDS[words.DANGEROUS], columns)
    return lines


def _doing(caution: CautionRow, columns: int) -> list[Line]:
    procedure = f" Local procedure: {caution.procedure}." if caution.procedure else ""
    return [*_saying(caution, columns), *wrapped(Style.DO, f"Do: {caution.do}{procedure}", columns)]


def _saying(caution: CautionRow, columns: int) -> list[Line]:
    return wrapped(RANK_STYLES[caution.rank], f"{RANK_WORDS[caution.rank]}: {caution.say}", columns)


def _one_row_each(view: View, columns: int) -> list[Line]:
    wide = 10_000  # wide enough that nothing wraps before it is cut
    return [cut(line, columns) for line in _each(view, wide, _saying, _saying)]
