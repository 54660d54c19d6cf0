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


def in_full(view: View | None, columns: int) -> list[Line]:
    """Every caution with what to do, the local procedure and what it rests on."""
    return _each(view, columns, _whole, _whole) if view else []


def fitted(view: View, columns: int, rows: int, *, brief: bool) -> list[Line]:
    """Return the cautions as fully as so many rows allow: at the least each has its rank and first words on a row.

    ``brief`` leaves out what to do, where it stands in the text below anyhow.
    """
    fuller = ((_saying, _saying),) if brief else ((_whole, _whole), (_doing, _saying), (_saying, _saying))
    for first, others in fuller:
        lines = _each(view, columns, first, others)
        if len(lines) <= rows:
            return lines
    return _each(view, columns, _one_row, _one_row)


Telling = Callable[[CautionRow, int], list[Line]]


def _each(view: View, columns: int, first: Telling, others: Telling) -> list[Line]:
    lines: list[Line] = []
    for index, caution in enumerate(words.cautions_in_order(view)):
        lines += (others if index else first)(caution, columns)
    if words.DANGEROUS in view.refer:
        lines += wrapped(Style.CALL_SUPERVISOR, REFER_WORDS[words.DANGEROUS], columns)
    return lines


def _whole(caution: CautionRow, columns: int) -> list[Line]:
    return [line for style, text in caution_lines(caution) for line in wrapped(style, text, columns)]


def _doing(caution: CautionRow, columns: int) -> list[Line]:
    return [*_saying(caution, columns), *wrapped(Style.DO, f"Do: {caution.do}", columns)]


def _saying(caution: CautionRow, columns: int) -> list[Line]:
    return wrapped(RANK_STYLES[caution.rank], _says(caution), columns)


def _one_row(caution: CautionRow, columns: int) -> list[Line]:
    return [cut(((RANK_STYLES[caution.rank], _says(caution)),), columns)]


def _says(caution: CautionRow) -> str:
    return f"{RANK_WORDS[caution.rank]}: {caution.say}"
