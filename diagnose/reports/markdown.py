"""A document as Markdown (CommonMark with tables): the same content as the page, drawings told in words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from diagnose.reports.document import Alert, Facts, Figure, Items, Para, Signatures, Table
from diagnose.reports.harmless import harmless

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.reports.document import Block, Document

__all__ = ["markdown"]

_MARKS = re.compile(r"([\\`*_\[\]<>#|~&$^@]|:(?=//)|^[-+=])")
_NUMBERED = re.compile(r"^(\d+)([.)])")
_WWW = re.compile(r"(www)\.", re.IGNORECASE)


def markdown(document: Document) -> str:
    """Return the document as Markdown."""
    lines = [f"# {_text(document.title)}", "", _text(document.subtitle)]
    for section in document.sections:
        lines += ["", f"## {_text(section.title)}"]
        for block in section.blocks:
            lines += ["", *_block(block)]
    lines += ["", "---"]
    for line in document.closing:
        lines += ["", _text(line)]
    return "\n".join(lines) + "\n"


def _block(block: Block) -> Iterator[str]:
    match block:
        case Para():
            yield _text(block.text)
        case Items():
            yield from (f"- {_text(item)}" for item in block.items)
        case Facts():
            yield from (f"- **{_text(name)}:** {_text(what)}" for name, what in block.rows)
        case Table():
            yield from _table(block)
        case Alert():
            yield from _alert(block)
        case Figure():
            yield f"*{_text(block.picture.title)}.* {_text(block.picture.description)}"
        case Signatures():
            yield from (f"- {_text(who)}: name, signature, date and time ________________" for who in block.who)


def _table(block: Table) -> Iterator[str]:
    yield f"**{_text(block.caption)}**"
    yield ""
    yield f"| {' | '.join(map(_text, block.columns))} |"
    yield f"|{'|'.join('---:' if at in block.numeric else '---' for at in range(len(block.columns)))}|"
    yield from (f"| {' | '.join(map(_text, row))} |" for row in block.rows)


def _alert(block: Alert) -> Iterator[str]:
    yield f"> **{_text(block.words)}** {_text(block.says)}"
    for line in block.lines:
        yield ">"
        yield f"> {_text(line)}"


def _text(text: str) -> str:
    """Return a text on one line in which no character is taken for Markdown, HTML or a link."""
    flat = " ".join(harmless(text).split())
    return _NUMBERED.sub(r"\1\\\2", _WWW.sub(r"\1\\.", _MARKS.sub(r"\\\1", flat)))
