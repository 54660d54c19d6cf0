"""Causes, cautions, features and actions."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from diagnose.knowledge.fields import Key, Name, Prose, Row, ScaleWord, Several, Source, Table, Word
from diagnose.knowledge.findings import CONTEXT, context
from diagnose.knowledge.links import Links, linked
from diagnose.knowledge.model import RANKS, SEVERITIES, WHO, Action, Cause, Caution, Feature, Link
from diagnose.knowledge.when import FindingValues

if TYPE_CHECKING:
    from diagnose.knowledge.link import Names
    from diagnose.knowledge.nodes import Node
    from diagnose.knowledge.structure import Entry

__all__ = ["ACTION", "CAUSE", "CAUTION", "FEATURE", "Actions", "read_cause", "read_caution", "read_feature"]

ACTION = Table(
    "an action",
    {"who": Key(Word(WHO), needed=True), "do": Key(Prose(), needed=True), "procedure": Key(Prose(short=True))},
)


class Actions:
    """One thing to do, with who may do it."""

    def read(self, node: Node, names: Names) -> Action | None:
        """Give the action; nobody in particular when 'who' could not be read."""
        row = ACTION.read(node, names)
        if row is None:
            return None
        return Action(row.get("who", ""), row.get("do", ""), row.get("procedure", ""), node.place)


CAUSE = Table(
    "a cause",
    {
        "title": Key(Prose(), needed=True),
        "how-common": Key(ScaleWord("how_common"), needed=True),
        "severity": Key(Word(SEVERITIES)),
        "if-left": Key(Prose(), needed=True),
        "put-right": Key(Several(Actions(), at_least=1), needed=True),
        "settled-by": Key(Prose()),
        "leads-to": Key(Links()),
        "requires": Key(FindingValues()),
        "excludes": Key(FindingValues()),
        "subsystem": Key(Prose(short=True)),
        **CONTEXT,
        "source": Key(Source(), needed=True),
    },
)
CAUTION = Table(
    "a caution",
    {
        "rank": Key(Word(RANKS), needed=True),
        "say": Key(Prose(), needed=True),
        "do": Key(Prose(), needed=True),
        "procedure": Key(Prose(short=True)),
        "look-at": Key(Several(Name("finding"))),
        "source": Key(Source(), needed=True),
    },
)
FEATURE = Table("a feature", {"title": Key(Prose(), needed=True)})


def read_cause(entry: Entry, names: Names) -> Cause:
    """Read one cause."""
    row = CAUSE.read(entry.node, names, entry.place) or {}
    return Cause(
        id=entry.id,
        title=row.get("title", entry.id),
        subsystem=entry.subsystem,
        how_common=row.get("how-common", next(iter(names.scales.how_common))),
        severity=row.get("severity", "serious"),
        if_left=row.get("if-left", ""),
        put_right=row.get("put-right", ()),
        settled_by=row.get("settled-by", ""),
        leads_to=_leads_to(entry.id, row, names),
        requires=_sets(row, "requires"),
        excludes=_sets(row, "excludes"),
        source=row.get("source", ""),
        place=entry.place,
        **context(row),
    )


def read_caution(entry: Entry, names: Names) -> Caution:
    """Read one caution; one whose rank cannot be read counts as stop-now."""
    row = CAUTION.read(entry.node, names, entry.place) or {}
    say, do, procedure, source = (row.get(key, "") for key in ("say", "do", "procedure", "source"))
    return Caution(entry.id, row.get("rank", RANKS[0]), say, do, procedure, row.get("look-at", ()), source, entry.place)


def read_feature(entry: Entry, names: Names) -> Feature:
    """Read one feature."""
    row = FEATURE.read(entry.node, names, entry.place) or {}
    return Feature(entry.id, row.get("title", entry.id), entry.place)


def _leads_to(cause: str, row: Row, names: Names) -> tuple[Link, ...]:
    links = linked(row.get("leads-to", ()), row.get("source", ""), names)
    for link in links:
        if link.cause == cause:
            mend = "Name the cause that follows from it."
            names.report(link.place, "leads-to-itself", f"'{cause}' cannot lead to itself.", mend)
    return tuple(link for link in links if link.cause != cause)


def _sets(row: Row, key: str) -> MappingProxyType[str, frozenset[str]]:
    return MappingProxyType({finding: frozenset(values) for finding, values in row.get(key, {}).items()})
