"""The rule texts of a revision, kept once under its content hash, so that old consultations replay bit for bit."""

from __future__ import annotations

import json
import zlib
from typing import TYPE_CHECKING

from diagnose import __version__
from diagnose.journal.failures import failed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from diagnose.journal.store import Journal

__all__ = ["add_rules", "keep_rules", "kept_rules"]

Texts = dict[str, dict[str, str]]  # "rules" and "site": file name -> text


def keep_rules(journal: Journal, revision: str, at: str, texts: Callable[[], Mapping[str, Mapping[str, str]]]) -> None:
    """Keep the texts of a revision unless they are kept already; ``texts`` is called only when they are wanted."""
    if any(journal.rows("SELECT 1 FROM revision WHERE rules = ?", (revision,))):
        return
    wanted = texts()
    with journal.writing():
        add_rules(journal, revision, at, wanted)


def add_rules(journal: Journal, revision: str, at: str, texts: Mapping[str, Mapping[str, str]]) -> None:
    """Add the texts of a revision inside ``writing``; those that are kept already stay as they are."""
    packed = zlib.compress(json.dumps(texts).encode("ascii"))
    journal.insert(
        "INSERT OR IGNORE INTO revision (rules, at, program, texts) VALUES (?, ?, ?, ?)",
        (revision, at, __version__, packed),
    )


def kept_rules(journal: Journal, revision: str) -> Texts | None:
    """Return the texts of a revision; None when they were not kept."""
    for (packed,) in journal.rows("SELECT texts FROM revision WHERE rules = ?", (revision,)):
        try:
            texts: Texts = json.loads(zlib.decompress(packed))
        except (zlib.error, ValueError) as error:
            raise failed("read", journal.path, ValueError(str(error))) from error
        return texts
    return None
