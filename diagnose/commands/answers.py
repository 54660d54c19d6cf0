"""Answers given beforehand: by flags, or by a file that answers questions as they come."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation import events
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from diagnose.consultation.session import Session

__all__ = ["AnswersFile", "answers_file", "answers_itself", "pair"]


class AnswersFile(NamedTuple):
    """What an answers file holds; every answer is text as an operator would type it."""

    machine: str = ""
    phase: str = ""
    reported: Mapping[str, str] = MappingProxyType({})
    answers: Mapping[str, str] = MappingProxyType({})
    others: Mapping[str, Mapping[str, str]] = MappingProxyType({})


def pair(text: str) -> tuple[str, str, str]:
    """Split ``NAME=VALUE`` or ``MACHINE:NAME=VALUE`` into machine ("" for this one), name and value."""
    name, equals, value = text.partition("=")
    if not equals or not name.strip() or not value.strip():
        raise DiagnoseError(
            f"'{text}' is not NAME=VALUE.", mend="Write for example --reading exhaust-pressure='2.9 bar'."
        )
    machine, colon, finding = name.rpartition(":")
    return (machine.strip() if colon else ""), finding.strip(), value.strip()


def answers_file(path: Path) -> AnswersFile:
    """Read an answers file; raises DiagnoseError naming the first fault and its place."""
    from diagnose.knowledge.library import read_answers

    return AnswersFile(**read_answers(path))


def answers_itself(session: Session, told: AnswersFile, *, everything: bool) -> None:
    """Answer the open questions from the file as long as it can; with ``everything`` the rest cannot be told."""
    if not told.answers and not everything:
        return
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
