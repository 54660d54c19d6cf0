"""What can go wrong with the file, each in one line that says what, where and how to mend it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["JournalError", "failed"]

_SAFE = "What was kept before is safe."
# Names of SQLite's results (its documentation, "Result and Error Codes"), told by how they begin.
_KNOWN = (
    ("SQLITE_FULL", "the disk is full", f"Make room on it. {_SAFE}"),
    ("SQLITE_READONLY", "it may be read but not written here", f"Ask for the right to write the folder. {_SAFE}"),
    ("SQLITE_BUSY", "another program has been writing to it all the while", f"Close that one, then try again. {_SAFE}"),
    ("SQLITE_LOCKED", "another program holds it", f"Close that one, then try again. {_SAFE}"),
    ("SQLITE_CORRUPT", "the file is damaged", "'diagnose journal check' saves what can still be read."),
    ("SQLITE_NOTADB", "the file is damaged or no journal", "'diagnose journal check' saves what can still be read."),
    ("SQLITE_CANTOPEN", "the file cannot be opened", "Check that the folder is there and may be written."),
    ("SQLITE_IOERR", "the disk refuses", f"Check the disk and its free space. {_SAFE}"),
    ("SQLITE_TOOBIG", "it is too long to be kept", f"Shorten it. {_SAFE}"),
)
_UNKNOWN = f"Check the folder's rights and free space. {_SAFE}"
_CANNOT_WRITE_HERE = ("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_FULL", "SQLITE_IOERR")
_DAMAGED = ("SQLITE_CORRUPT", "SQLITE_NOTADB")


class JournalError(DiagnoseError):
    """The journal failed. ``read_only``: it may still be readable; ``damaged``: what is readable can be rescued."""

    read_only = False
    damaged = False


def failed(what: str, path: Path, error: Exception) -> JournalError:
    """Word a failure of the file system or of the database; ``what`` could not be done (read, written, opened)."""
    name = getattr(error, "sqlite_errorname", "") or ""
    code, why, mend = next((row for row in _KNOWN if name.startswith(row[0])), ("", _reason(error), _UNKNOWN))
    if isinstance(error, ValueError) and not isinstance(error, UnicodeError):
        code, why, mend = "SQLITE_CORRUPT", *_KNOWN[4][1:]
    line = JournalError(f"The journal cannot be {what}: {why}.", where=str(path), mend=mend)
    line.read_only = code in _CANNOT_WRITE_HERE or isinstance(error, PermissionError)
    line.damaged = code in _DAMAGED
    return line


def _reason(error: Exception) -> str:
    return str(getattr(error, "strerror", "") or error).rstrip(".")
