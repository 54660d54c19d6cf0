"""Answers given beforehand: by flags, or by a file that answers questions as they come."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from diagnose.consultation import events
from diagnose.knowledge import nodes
from diagnose.values.problem import DiagnoseError, Problem

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from diagnose.consultation.session import Session

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
        raise DiagnoseError(
            f"'{text}' is not NAME=VALUE.", mend="Write for example --reading exhaust-pressure='2.9 bar'."
        )
    machine, colon, finding = name.rpartition(":")
    return (machine.strip() if colon else ""), finding.strip(), value.strip()


def answers_file(path: Path) -> AnswersFile:
    """Read an answers file; raises DiagnoseError naming every fault with its place."""
    from diagnose.knowledge.characters import decoded

    try:
        raw = path.read_bytes()
    except OSError as error:
        raise DiagnoseError(f"The answers file cannot be read: {error.strerror}.", where=str(path)) from error
    problems: list[Problem] = []
    text = decoded(raw, str(path), problems)
    root = nodes.read(text, str(path), problems) if text is not None else None
    told = _told(root, problems) if root is not None else {}
    if problems:
        raise DiagnoseError("\n".join(["The answers file holds faults:", *(one.line() for one in sorted(problems))]))
    return AnswersFile(**told)


def _told(root: nodes.Node, problems: list[Problem]) -> dict[str, Any]:
    if not isinstance(root, nodes.Mapping):
        problems.append(Problem(root.place, "wrong-shape", "An answers file is a list of 'name: value'.", ""))
        return {}
    told: dict[str, Any] = {}
    for key, node in root.entries.items():
        if key in ("machine", "phase") and isinstance(node, nodes.Text):
            told[key] = node.text
        elif key in ("reported", "answers") and isinstance(node, nodes.Mapping):
            told[key] = _texts(node, problems)
        elif key == "others" and isinstance(node, nodes.Mapping):
            inner = {name: known for name, known in node.entries.items() if isinstance(known, nodes.Mapping)}
            told[key] = {name: _texts(known, problems) for name, known in inner.items()}
        else:
            mend = "Known are machine, phase, reported, answers and others; the last three hold 'finding: answer'."
            problems.append(Problem(root.keys[key], "unknown-key", f"'{key}' does not belong here so.", mend))
    return told


def _texts(node: nodes.Mapping, problems: list[Problem]) -> dict[str, str]:
    texts: dict[str, str] = {}
    for name, value in node.entries.items():
        if isinstance(value, nodes.Text):
            texts[name] = value.text
        else:
            problems.append(Problem(node.keys[name], "wrong-shape", f"'{name}' needs one answer as text.", ""))
    return texts


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
