"""Causes with how often: how often each shows a symptom, or follows from another cause."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.knowledge.fields import Key, ScaleWord, Source, Table
from diagnose.knowledge.model import Link
from diagnose.knowledge.nodes import Mapping, Node, Text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from diagnose.knowledge.link import Names

__all__ = ["LINK", "Links", "linked"]

LINK = Table("a linked cause", {"seen": Key(ScaleWord("frequency"), needed=True), "source": Key(Source())})


class Links:
    """Causes, each with a frequency word, or with ``seen`` and ``source``."""

    def read(self, node: Node, names: Names) -> list[tuple[Text, str, str]] | None:
        """Give (cause, word, source); the source is empty where the rule's own holds."""
        if not isinstance(node, Mapping):
            names.report(node.place, "wrong-shape", "Here stands 'cause: frequency word'.")
            return None
        links: list[tuple[Text, str, str]] = []
        for name, inner in node.entries.items():
            text = Text(name, node.keys[name])
            cause = names.find("cause", text)
            word, source = _seen(inner, names)
            if cause and word:
                links.append((text, word, source))
        return links


def _seen(node: Node | None, names: Names) -> tuple[str, str]:
    if isinstance(node, Mapping):
        row = LINK.read(node, names) or {}
        return row.get("seen", ""), row.get("source", "")
    return (ScaleWord("frequency").read(node, names) or "" if node else ""), ""


def linked(read: Iterable[tuple[Text, str, str]], source: str, names: Names) -> tuple[Link, ...]:
    """Give the links read by `Links`; ``source`` is that of those without one of their own."""
    frequency = names.scales.frequency
    return tuple(Link(text.text, seen, frequency[seen], own or source, text.place) for text, seen, own in read)
