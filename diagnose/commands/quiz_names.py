"""Names of trainees: one small file in the site's folder, keyed by random ids; everything else knows only the ids."""

from __future__ import annotations

import json
import os
import secrets
from typing import TYPE_CHECKING

from diagnose.commands import wiring
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Mapping
    from pathlib import Path

__all__ = ["erase", "id_of", "names", "names_path"]

_LONGEST = 60


def names_path(arguments: Namespace) -> Path:
    """Return where the names stand: beside the journal."""
    return wiring.journal_path(arguments).with_name("trainees.json")


def names(path: Path) -> dict[str, str]:
    """Return id -> name; nothing when there is no file yet. Raises DiagnoseError for a file that is damaged."""
    try:
        kept = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError) as error:
        raise DiagnoseError("The names of trainees cannot be read.", where=str(path), mend="Mend it.") from error
    if not isinstance(kept, dict) or not all(isinstance(name, str) for name in kept.values()):
        raise DiagnoseError("The names of trainees are damaged.", where=str(path), mend="Mend or remove the file.")
    return kept


def id_of(name: str, path: Path, *, make: bool) -> str:
    """Return the id of a name, with ``make`` a fresh one for a new name; raises DiagnoseError for an unknown one."""
    wanted = " ".join(name.split())[:_LONGEST]
    kept = names(path)
    for one, known in kept.items():
        if known.casefold() == wanted.casefold():
            return one
    if not make:
        raise DiagnoseError(f"No trainee is called '{wanted}'.", mend=did_you_mean(wanted, kept.values(), few=0))
    fresh = f"t-{secrets.token_hex(4)}"
    _write(path, {**kept, fresh: wanted})
    return fresh


def erase(name: str, path: Path) -> str:
    """Erase a name and return the id whose name it was."""
    one = id_of(name, path, make=False)
    _write(path, {other: known for other, known in names(path).items() if other != one})
    return one


def _write(path: Path, kept: Mapping[str, str]) -> None:
    """Write the whole file and put it in place at once."""
    new = path.with_suffix(".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        new.write_text(json.dumps(kept, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
        os.replace(new, path)  # noqa: PTH105 - atomic, which rename is not on every system
    except OSError as error:
        raise DiagnoseError("The names of trainees cannot be kept.", where=str(path)) from error
