"""Checks of a start: what is to be seen to, in which stage, and who decides when it fails."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.knowledge.fields import Key, Name, Prose, Several, Source, Table, Word
from diagnose.knowledge.model import WHO, Check
from diagnose.knowledge.nodes import Listing, Mapping
from diagnose.knowledge.when import When

if TYPE_CHECKING:
    from diagnose.knowledge.link import Names
    from diagnose.knowledge.structure import Entry

__all__ = ["CHECK", "STAGES", "read_check"]

STAGES = ("pre-start", "warm-up", "run-up", "loaded")

CHECK = Table(
    "a check",
    {
        "stage": Key(Word(STAGES), needed=True),
        "ask": Key(Name("finding"), needed=True),
        "holds": Key(Several(When(top=False))),
        "caution": Key(Several(Name("caution"))),
        "decides": Key(Word(WHO)),
        "needs": Key(Several(Name("feature"))),
        "lacks": Key(Several(Name("feature"))),
        "subsystem": Key(Prose(short=True)),
        "source": Key(Source(), needed=True),
    },
)


def read_check(entry: Entry, order: int, names: Names) -> Check | None:
    """Read one check; None when what it asks or what must hold is unknown or switched off."""
    row = CHECK.read(entry.node, names, entry.place) or {}
    asked = names.findings.get(row.get("ask", ""))
    if asked is None or len(row.get("holds", ())) != _written(entry):
        return None
    if asked.concluded:
        says = f"'{asked.id}' is concluded by rules and cannot be asked."
        names.report(entry.place, "check-without-question", says, "Name a finding that can be asked.")
    if asked.reading and not asked.judged_as and not row.get("holds"):
        says = f"'{asked.id}' is a number that no condition judges."
        names.report(entry.place, "check-without-limit", says, "Say under 'holds' what it must be.")
    return Check(
        id=entry.id,
        stage=row.get("stage", STAGES[0]),
        ask=asked.id,
        holds=row.get("holds", ()),
        cautions=row.get("caution", ()),
        decides=row.get("decides", "supervisor"),
        needs=frozenset(row.get("needs", ())) | asked.needs,
        lacks=frozenset(row.get("lacks", ())) | asked.lacks,
        order=order,
        subsystem=entry.subsystem,
        source=row.get("source", ""),
        place=entry.place,
    )


def _written(entry: Entry) -> int:
    """Count the conditions written: a check that has lost one would pass what it must not."""
    holds = entry.node.entries.get("holds") if isinstance(entry.node, Mapping) else None
    return len(holds.items) if isinstance(holds, Listing) else int(holds is not None)
