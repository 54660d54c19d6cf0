"""A page as a tree of sections and blocks, without looks, so that every rendering holds the same content."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from diagnose.reports.picture import Picture

__all__ = ["Alert", "Block", "Document", "Facts", "Figure", "Items", "Para", "Section", "Signatures", "Table"]


@dataclass(frozen=True, slots=True)
class Para:
    """A paragraph."""

    text: str
    kind = "para"


@dataclass(frozen=True, slots=True)
class Items:
    """A list of sentences."""

    items: tuple[str, ...]
    kind = "items"


@dataclass(frozen=True, slots=True)
class Facts:
    """Names with what they are, one pair a line."""

    rows: tuple[tuple[str, str], ...]
    kind = "facts"


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a caption and a heading for every column; the first cell of a row is the row's heading.

    ``numeric`` holds the columns, counted from 0, that are set to the right.
    """

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numeric: frozenset[int] = frozenset()
    kind = "table"


@dataclass(frozen=True, slots=True)
class Alert:
    """A caution: its rank (``stop-now`` ... ``watch``), the rank in words, what it says, and lines below it."""

    rank: str
    words: str
    says: str
    lines: tuple[str, ...]
    kind = "alert"


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing; its own title and description say in words what it shows."""

    picture: Picture
    kind = "figure"


@dataclass(frozen=True, slots=True)
class Signatures:
    """Lines to be signed by hand, each under the name of who signs."""

    who: tuple[str, ...]
    kind = "signatures"


Block = Para | Items | Facts | Table | Alert | Figure | Signatures


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with blocks below it. ``id`` is unique on the page: letters, digits and hyphens."""

    id: str
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Document:
    """A whole page. ``closing`` stands at its foot: who decides, limits, where it comes from."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]
    closing: tuple[str, ...]
