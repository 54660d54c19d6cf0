"""The page of a comparison of two sets of rules: what changes for people, worst first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.reports.document import Document, Facts, Items, Para, Section, Table
from diagnose.reports.html import page

if TYPE_CHECKING:
    from diagnose.planning.compare import Comparison

__all__ = ["comparison_page"]

_CLOSING = (
    "It tells what the rules would have said; whether that is right is for people who know the machines.",
    "Local procedures and the supervisor come first.",
)


def comparison_page(comparison: Comparison) -> str:
    """Return the page as text."""
    return page(_document(comparison))


def _document(comparison: Comparison) -> Document:
    passed, first = zip(comparison.before, comparison.after, strict=True)
    figures = Facts(
        (
            ("Cases compared", str(comparison.cases)),
            ("Passed", f"{passed[0]} before, {passed[1]} after"),
            ("True cause first", f"{first[0]} before, {first[1]} after"),
            *((kind.capitalize(), str(number)) for kind, number in comparison.counts.items()),
        )
    )
    rows = tuple((one.case, one.kind, one.says, f"{one.shift:.0%}") for one in comparison.changes)
    changes = Table("Changes, worst first", ("Case", "What", "How", "Probability moved"), rows, frozenset({3}))
    sections = [
        Section("figures", "In short", (figures,)),
        Section("changes", "For people", (changes if rows else Para("Nothing changes for anybody."),)),
        Section("rules", "In the rules", (_items(comparison.things, "The rules say the same."),)),
        Section("pairs", "Newly hard to tell apart", (_items(comparison.ambiguous, "No pair of causes."),)),
    ]
    return Document("Rules compared", "What changes for people", tuple(sections), _CLOSING)


def _items(lines: tuple[str, ...], none: str) -> Items | Para:
    return Items(lines) if lines else Para(none)
