"""The two faces of a quiz: the full screen, and plain lines for pipes, screen readers and simple terminals."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.terminal.plain import page_text
from diagnose.values.text import inert

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from diagnose.terminal.page import Page
    from diagnose.terminal.quiz import Talk

__all__ = ["hold_full", "hold_plain"]


def hold_plain(talk: Talk, lines: Iterator[str], write: Callable[[str], None], *, echo: bool) -> None:
    """Hold a quiz over typed lines until it is over or left; the end of input and an interrupt leave it."""
    shown: Page | None = None
    try:
        while not talk.done:
            page = talk.page()
            for text in page_text(page, shown):
                write(text)
            shown = page
            if not _answered(talk, lines, write, echo=echo):
                talk.leave()
    except KeyboardInterrupt:
        talk.leave()


def hold_full(talk: Talk) -> None:
    """Hold a quiz on the full screen until it is over or left."""
    from diagnose.terminal.app import show_full  # the terminal library is slow to import

    show_full(talk)


def _answered(talk: Talk, lines: Iterator[str], write: Callable[[str], None], *, echo: bool) -> bool:
    typed = next(lines, None)
    if typed is None:
        return False
    if echo:
        write(f"> {inert(typed.strip())}")
    talk.take(typed)
    return True
