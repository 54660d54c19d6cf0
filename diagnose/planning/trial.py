"""A new entry read before it is written: what the loader has against the answer just given."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.knowledge.build import cases_from
from diagnose.knowledge.library import load_kept
from diagnose.planning.draft import SECTIONS, written

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.knowledge.model import Knowledge
    from diagnose.values.problem import Problem

__all__ = ["faults_of"]

_NAME = "new-entry-on-trial"


def faults_of(
    kind: str,
    key: str,
    answers: Mapping[str, str],
    texts: Mapping[str, Mapping[str, str]],
    knowledge: Knowledge,
) -> list[Problem]:
    """Return the problems on the line of this key, the entry made of the answers so far.

    ``texts`` are those of the rules and the site (see ``library.texts_to_keep``); nothing is written anywhere.
    """
    entry = written(kind, _NAME, answers)
    if kind == "case":
        problems = cases_from({"case.yaml": entry}, knowledge)[1]
        mine = list(problems)
    else:
        file = f"/machines/{_NAME}.yaml" if kind == "machine" else f"/rules/{_NAME}.yaml"
        whole = entry if kind == "machine" else f"{SECTIONS[kind]}:\n{entry}"
        tried = load_kept({**texts, "site": {**texts["site"], file: whole}})
        mine = [one for one in tried.problems if one.place.file.endswith(file)]
        entry = whole
    lines = entry.split("\n")
    return [one for one in mine if lines[one.place.line - 1].strip().startswith(f"{key}:")]
