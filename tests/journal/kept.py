"""Consultations on the small rule base, kept in a journal as a plant would keep them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation import events
from diagnose.consultation.events import event_record
from diagnose.consultation.session import Session
from diagnose.journal.conclusions import keep_conclusion
from diagnose.journal.store import open_journal
from tests.knowledge_samples import RULES, SITE, sample

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from diagnose.journal.store import Journal

TEXTS = {"rules": {"/sample.yaml": RULES}, "site": {f"/{name}": text for name, text in SITE.items()}}


def at(minute: int) -> str:
    """Return a time on the day of the tests."""
    return f"2026-03-02T{8 + minute // 60:02}:{minute % 60:02}:00.000+00:00"


def fresh(folder: Path) -> Journal:
    """Open a new journal."""
    return open_journal(folder / "journal.sqlite3")


def hasty(folder: Path) -> Journal:
    """Open a new journal that does not wait for the disk, where a test needs many consultations."""
    journal = fresh(folder)
    list(journal.rows("PRAGMA synchronous = OFF"))
    return journal


def consult(
    journal: Journal,
    run: str,
    reported: Mapping[str, str],
    answers: Mapping[str, str] | None = None,
    *,
    machine: str = "P-1",
    start: int = 0,
    knowledge=None,
    concluded: bool = True,
) -> Session:
    """Hold and keep a consultation; questions without an answer given cannot be told."""
    knowledge = knowledge or sample()
    minute = iter(range(start, start + 1000))

    def keep(event: events.Event) -> None:
        journal.append(run, "consultation", at(next(minute)), machine, knowledge.revision, event_record(event))

    session = Session(knowledge, knowledge.site.machines[machine], keep=keep)
    for finding, text in reported.items():
        session.do(events.Report(finding, session.understand(finding, text)))
    while answers is not None and (question := session.view().question):
        text = answers.get(question.finding)
        if text is None:
            session.do(events.CannotTell(question.finding))
        else:
            session.do(events.Report(question.finding, session.understand(question.finding, text)))
    if concluded:
        keep_conclusion(journal, run, at(next(minute)), machine, session.view())
    return session
