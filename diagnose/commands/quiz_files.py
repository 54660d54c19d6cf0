"""What a quiz command hands out: written to a file, or printed for '-'."""

from __future__ import annotations

from pathlib import Path

from diagnose.commands import wiring
from diagnose.values.problem import DiagnoseError

__all__ = ["write"]


def write(where: str, text: str) -> None:
    """Write the text as UTF-8 and say so. Raises DiagnoseError where that cannot be."""
    if where == "-":
        wiring.say(text.rstrip("\n"))
        return
    try:
        Path(where).parent.mkdir(parents=True, exist_ok=True)
        Path(where).write_text(text, encoding="utf-8")
    except OSError as error:
        raise DiagnoseError("The file cannot be written.", where=where) from error
    wiring.say(f"Written to {where}.")
