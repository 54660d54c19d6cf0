"""What a consultation had come to when it was left or ended: kept, so that lists and handovers need no replay."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.consultation.view import View
    from diagnose.journal.store import Journal

__all__ = ["conclusion", "keep_conclusion", "latest_conclusion"]


def conclusion(view: View, events: int) -> dict[str, Any]:
    """Return what to keep of the view after so many events: ids and shares to the last bit, and words for lists."""
    return {
        "events": events,
        "phase": view.phase,
        "standing": view.standing,
        "ranking": [[row.cause, row.probability] for row in view.ranking],
        "titles": {row.cause: row.title for row in view.ranking},
        "causes": [row.cause for row in view.ranking[:1] if row.cause],
        "cautions": [row.caution for row in view.cautions],
        "warnings": [[row.rank, row.say] for row in view.cautions],
        "refer": list(view.refer),
        "seen": view.supervisor[0],
    }


def keep_conclusion(journal: Journal, run: str, at: str, machine: str, view: View) -> None:
    """Keep what a consultation came to with all its events so far."""
    events = len(journal.events(run, "consultation"))
    journal.append(run, "conclusion", at, machine, view.revision, conclusion(view, events))


def latest_conclusion(journal: Journal, run: str) -> Mapping[str, Any] | None:
    """Return what was last concluded; None when the program was ended before it could conclude."""
    kept = journal.events(run, "conclusion")
    return kept[-1].body if kept else None
