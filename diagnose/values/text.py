"""Text from files and keyboards made harmless for a screen."""

from __future__ import annotations

import unicodedata

__all__ = ["inert", "lines_of", "one_line", "width"]

_SPACES = {"\u00a0": " ", "\u202f": " ", "\t": " "}


def inert(text: str, *, lines: bool = False) -> str:
    r"""Show control, escape, bidirectional and invisible characters as ``\x1b``, so that none can act on a terminal.

    A newline stays one only with ``lines``. Text that is harmless already is returned as it is.

    >>> inert("red \x1b[31m")
    'red \\x1b[31m'
    """
    if text.isprintable():
        return text
    return "".join(_shown(character, lines=lines) for character in text)


def lines_of(text: str) -> list[str]:
    """Split where every system ends a line, and nowhere else, so that line numbers agree in all rooms."""
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def one_line(text: str, most: int = 60) -> str:
    """Give the text inert and on one line of at most ``most`` characters, cut with three dots."""
    flat = inert(" ".join(text[: most * 4].split()))
    return flat if len(flat) <= most and len(text) <= most * 4 else flat[: most - 3] + "..."


def width(text: str) -> int:
    """Columns that the text takes on a terminal: wide characters two, combining ones none."""
    if text.isascii():
        return len(text)
    return sum(_columns(character) for character in text)


def _shown(character: str, *, lines: bool) -> str:
    if character.isprintable() or (lines and character == "\n"):
        return character
    return _SPACES.get(character) or character.encode("unicode_escape", "backslashreplace").decode("ascii")


def _columns(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1
