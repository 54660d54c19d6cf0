"""Any text made fit for a page: nothing invisible, nothing that turns the line round, not endless."""

from __future__ import annotations

from diagnose.values.text import inert

__all__ = ["LONGEST", "harmless"]

LONGEST = 4000


def harmless(text: str) -> str:
    r"""Return the text with what cannot be seen spelt out, cut where it is longer than anybody reads.

    >>> harmless("red \x1b[31m")
    'red \\x1b[31m'
    """
    cut = inert(text[:LONGEST], lines=True)
    return cut if len(text) <= LONGEST else f"{cut}... (cut here; the journal holds all {len(text)} characters)"
