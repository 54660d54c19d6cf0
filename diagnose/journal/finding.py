"""Which runs the journal holds: by kind, machine, time, cause, open or closed; newest first, without reading all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.journal.store import Journal

__all__ = ["Run", "Wanted", "find"]

_LATEST_OUTCOME = (
    "(SELECT json_extract(body, '$.withdrawn') FROM event WHERE event.run = run.run AND event.kind = 'outcome' "
    "ORDER BY number DESC LIMIT 1)"
)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What to look for; an empty field lets everything through.

    ``since`` and ``until`` are UTC in ISO 8601, the start of a run lying in [since, until). ``cause`` is one that was
    concluded or confirmed. A run is closed while an outcome stands for it, else open; ``closed`` None asks for both.
    """

    kind: str = "consultation"
    machine: str = ""
    since: str = ""
    until: str = ""
    cause: str = ""
    closed: bool | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """One run: its id, kind, machine, and when it began (UTC, ISO 8601)."""

    run: str
    kind: str
    machine: str
    at: str


def find(journal: Journal, wanted: Wanted, limit: int = -1) -> Iterator[Run]:
    """Yield the runs wanted, newest first; at most ``limit`` unless it is negative."""
    conditions = ["1"]
    values: list[object] = []
    for column, operator, value in (
        ("kind", "=", wanted.kind),
        ("machine", "=", wanted.machine),
        ("at", ">=", wanted.since),
        ("at", "<", wanted.until),
    ):
        if value:
            conditions.append(f"{column} {operator} ?")
            values.append(value)
    if wanted.cause:
        conditions.append("run IN (SELECT run FROM mention WHERE cause = ?)")
        values.append(wanted.cause)
    if wanted.closed is not None:
        conditions.append(f"COALESCE({_LATEST_OUTCOME}, 1) = ?")
        values.append(int(not wanted.closed))
    where = " AND ".join(conditions)
    sql = f"SELECT run, kind, machine, at FROM run WHERE {where} ORDER BY at DESC, first DESC LIMIT ?"  # noqa: S608
    for row in journal.rows(sql, (*values, limit)):
        yield Run(*row)
