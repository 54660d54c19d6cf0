"""Lines of styled text: wrapped to a width, padded, set side by side. Widths are terminal columns."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING

from diagnose.terminal.style import Style
from diagnose.values.text import width

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

__all__ = ["Fragment", "Line", "beside", "cut", "text_of", "wrap", "wrapped"]

Fragment = tuple[Style, str]
Line = tuple[Fragment, ...]


def wrap(text: str, columns: int) -> list[str]:
    """Break a text at spaces into pieces of at most so many columns; a longer word is broken inside.

    >>> wrap("oil is milky", 7)
    ['oil is', 'milky']
    """
    lines = [""]
    for word in _fitting(text.split(), max(1, columns)):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if width(longer) <= columns or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def wrapped(style: Style, text: str, columns: int, lead: Sequence[Fragment] = ()) -> list[Line]:
    """Wrap a text behind a lead; what follows the first line hangs under the text."""
    indent = sum(width(piece) for _, piece in lead)
    first, *others = wrap(text, columns - indent)
    return [(*lead, (style, first)), *(((Style.TEXT, " " * indent), (style, line)) for line in others)]


def text_of(line: Line) -> str:
    """Return the bare text of a line."""
    return "".join(text for _, text in line)


def cut(line: Line, columns: int) -> Line:
    """Cut a line to so many columns; the cut is marked with three dots."""
    if width(text_of(line)) <= columns:
        return line
    left = columns - 3
    pieces: list[Fragment] = []
    for style, text in line:
        piece = _first_columns(text, left)
        pieces.append((style, piece))
        left -= width(piece)
    return (*pieces, (line[-1][0], "..."[: max(0, columns)]))


def beside(left: Sequence[Line], right: Sequence[Line], columns: int, gap: int) -> list[Line]:
    """Set two blocks side by side; the left one is ``columns`` wide."""
    return [
        (*one, (Style.TEXT, " " * (columns + gap - width(text_of(one)))), *other)
        for one, other in zip_longest(left, right, fillvalue=())
    ]


def _fitting(words: Sequence[str], columns: int) -> Iterator[str]:
    for word in words:
        rest = word
        while width(rest) > columns:
            piece = _first_columns(rest, columns) or rest[0]
            yield piece
            rest = rest[len(piece) :]
        if rest:
            yield rest


def _first_columns(text: str, columns: int) -> str:
    taken = 0
    for index, character in enumerate(text):
        taken += width(character)
        if taken > columns:
            return text[:index]
    return text
