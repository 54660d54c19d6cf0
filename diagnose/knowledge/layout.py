"""How a machine's round sheets and logger exports are laid out: the ``rounds`` of its profile."""

from __future__ import annotations

import re
from types import MappingProxyType
from typing import TYPE_CHECKING

from diagnose.knowledge.fields import Key, Pairs, Prose, Several, Table, Word, is_text
from diagnose.knowledge.model import RoundsLayout
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from diagnose.knowledge.link import Names
    from diagnose.knowledge.nodes import Node

__all__ = ["BESIDE", "TABLE", "Rounds"]

BESIDE = ("load", "ambient")  # columns that are no finding: what a reading depends on
_STRETCH = re.compile(r"(\d{4}-\d\d-\d\d) to (\d{4}-\d\d-\d\d)", re.ASCII)


class _Measured:
    """The finding that a column holds, or ``load`` or ``ambient``."""

    def read(self, node: Node, names: Names) -> str | None:
        """Give the word."""
        text = is_text(node, names, "the id of a finding")
        if text is None or text.text in BESIDE:
            return text and text.text
        return names.find("finding", text)


class _Stretch:
    """Two days, ``2026-01-01 to 2026-02-28``."""

    def read(self, node: Node, names: Names) -> tuple[str, ...] | None:
        """Give first and last day."""
        text = is_text(node, names, "two days")
        found = text and _STRETCH.fullmatch(text.text.strip())
        if text is not None and not found:
            says = f"'{one_line(text.text)}' is not a stretch of days."
            names.report(text.place, "not-a-stretch", says, "Write it as '2026-01-01 to 2026-02-28'.")
        return found.groups() if found else None


_COLUMN = Key(Prose(short=True))
TABLE = Table(
    "the layout of round sheets",
    {
        "called": Key(Several(Prose(short=True))),
        "machine-column": _COLUMN,
        "time-column": _COLUMN,
        "reading-column": _COLUMN,
        "value-column": _COLUMN,
        "clock": Key(Word(("year-first", "day-first", "month-first"))),
        "decimal": Key(Word(("point", "comma"))),
        "columns": Key(Pairs(Prose(short=True), _Measured())),
        "units": Key(Pairs(Prose(short=True), Prose(short=True))),
        "baseline": Key(_Stretch()),
    },
)


class Rounds:
    """The keys under ``rounds``."""

    def read(self, node: Node, names: Names) -> RoundsLayout | None:
        """Give the layout."""
        row = TABLE.read(node, names)
        if row is None:
            return None
        return RoundsLayout(
            called=row.get("called", ()),
            machine_column=row.get("machine-column", ""),
            time_column=row.get("time-column", ""),
            reading_column=row.get("reading-column", ""),
            value_column=row.get("value-column", ""),
            clock=row.get("clock", "year-first"),
            decimal=row.get("decimal", "point"),
            columns=MappingProxyType(row.get("columns", {})),
            units=MappingProxyType(row.get("units", {})),
            baseline=row.get("baseline", ()),
        )
