"""The files behind the rules of a planner: the knowledge in them, with and without the site, and their texts."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from diagnose.commands.wiring import cache_folder, site_folder
from diagnose.knowledge import library
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Iterable

    from diagnose.knowledge.library import Loaded
    from diagnose.knowledge.model import Knowledge

__all__ = [
    "Opened",
    "add_rules_option",
    "faultless",
    "file_path",
    "opened",
    "read_text",
    "site_rules",
    "texts_of",
    "write_bytes",
    "write_text",
]


class Opened(NamedTuple):
    """What was loaded, and the knowledge without the site's own rules to compare with; None when it is the same."""

    loaded: Loaded
    shipped: Knowledge | None


def add_rules_option(parser: ArgumentParser) -> None:
    """Declare the folder of rules that stands for the shipped ones."""
    parser.add_argument("--rules", metavar="DIR", help="rules in this folder instead of the shipped ones")


def opened(arguments: Namespace, *, cases: bool = False) -> Opened:
    """Load the rules and the site over them, whatever their faults."""
    rules, site, cache = _rules(arguments), site_folder(arguments), cache_folder()
    loaded = library.load(rules=rules, site=site, cases=cases, cache=cache)
    has_own = (site / "rules").is_dir()
    below = library.load(rules=rules, cache=cache) if has_own else None
    return Opened(loaded, below.knowledge if below and not below.problems else None)


def faultless(arguments: Namespace) -> Knowledge:
    """Load the rules and the site over them; raises DiagnoseError when they hold a fault."""
    loaded = opened(arguments).loaded
    if loaded.problems:
        mend = "Run 'diagnose rules check' and mend them first."
        raise DiagnoseError(f"The rules hold {len(loaded.problems)} faults.", mend=mend)
    return loaded.knowledge


def _rules(arguments: Namespace) -> Path | None:
    return Path(arguments.rules) if getattr(arguments, "rules", None) else None


def site_rules(arguments: Namespace) -> Path:
    """Return the site's own folder of rules, where new ones go. The demo site takes none."""
    site = site_folder(arguments)
    if site == library.demo_site():
        mend = "Name your plant's folder with --site DIR or DIAGNOSE_SITE."
        raise DiagnoseError("Nothing is written to the demo site.", mend=mend)
    return site / "rules"


def file_path(file: str, arguments: Namespace) -> Path:
    """Return the path of a file as places call it: shipped files are called ``rules/...``."""
    if file.startswith("rules" + os.sep) and not getattr(arguments, "rules", None):
        return library.shipped_rules() / file[len("rules" + os.sep) :]
    return Path(file)


def read_text(path: Path) -> str | None:
    """Read a file as it stands, line endings and all; None when it cannot be read as text."""
    try:
        return path.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return None


def texts_of(files: Iterable[str], arguments: Namespace) -> dict[str, str]:
    """Give the texts of files by the names that places use; files that cannot be read are left out."""
    read = {file: read_text(file_path(file, arguments)) for file in dict.fromkeys(files)}
    return {file: text for file, text in read.items() if text is not None}


def write_text(path: Path, text: str) -> None:
    """Write a text as UTF-8; see ``write_bytes``."""
    write_bytes(path, text.encode())


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file so that a reader sees the old content or the new; raises DiagnoseError when that fails."""
    import tempfile

    mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, part = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            Path(part).chmod(mode)
            Path(part).replace(path)
        except BaseException:
            Path(part).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise DiagnoseError(f"This file cannot be written: {error.strerror}.", where=str(path)) from error
