"""Answers given beforehand: by flags, or by a file that answers questions as they come."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from diagnose.consultation import events
from diagnose.consultation.session import Session
from diagnose.values.problem import DiagnoseError

__all__ = ["AnswersFile", "answers_file", "answers_itself", "pair"]


@dataclass(frozen=True, slots=True)
class AnswersFile:
    """What an answers file holds; every answer is text as an operator would type it."""

    machine: str = ""
    phase: str = ""
    reported: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)
    others: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


def pair(text: str) -> tuple[str, str, str]:
    """Split ``NAME=VALUE`` or ``MACHINE:NAME=VALUE`` into machine ("" for this one), name and value."""
    name, equals, value = text.partition("=")
    if not equals or not name.strip() or not value.strip():
        raise DiagnoseError(f"'{text}' is not NAME=VALUE.", mend="Write for example --reading exhaust-pressure='2.9 bar'.")
    machine, colon, finding = name.rpartition(":")
    return (machine.strip() if colon else ""), finding.strip(), value.strip()


def answers_file(path: Path) -> AnswersFile:
    """Read an answers file; raises DiagnoseError naming the first fault."""
    from diagnose.knowledge.library import read_answers

    return AnswersFile(**read_answers(path))


def answers_itself(session: Session, told: AnswersFile, *, everything: bool) -> None:
    """Answer the open questions from the file as long as it can; with ``everything`` the rest cannot be told."""
    while (question := session.view().question) is not None:
        name = question.finding
        judged = session.knowledge.findings[name].judged_as
        source = next((one for one in (name, judged) if one in told.answers), None)
        if source:
            session.do(events.Report(source, session.understand(source, told.answers[source])))
        elif everything:
            session.do(events.CannotTell(name))
        else:
            return
