"""What a file may hold before it is read as YAML: UTF-8, printable characters, no tabs, no more than five megabytes."""

from __future__ import annotations

from diagnose.values.problem import Place, Problem
from diagnose.values.text import inert, lines_of

__all__ = ["LARGEST", "cleaned", "decoded"]

LARGEST = 5_000_000  # bytes; a thousand rules take less than one million
_MOST = 20  # problems of this sort told about one file


def decoded(raw: bytes, file: str, problems: list[Problem]) -> str | None:
    """Decode UTF-8, with or without a byte order mark; None, with a problem, when it is not or when it is too large."""
    if len(raw) > LARGEST:
        problems.append(_too_large(file))
        return None
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        good = lines_of(raw[: error.start].decode("utf-8", "replace"))
        place = Place(file, len(good), len(good[-1]) + 1)
        problems.append(Problem(place, "not-utf-8", "The file is not UTF-8 text.", "Save it as UTF-8 in your editor."))
        return None


def cleaned(text: str, file: str, problems: list[Problem]) -> list[str] | None:
    """Give the lines with each control or invisible character reported and replaced; None when too large.

    Columns stay what they were, so that everything else in the file can still be checked.
    """
    if len(text) > LARGEST:
        problems.append(_too_large(file))
        return None
    lines = lines_of(text.removeprefix("\ufeff"))
    told = 0
    for number, line in enumerate(lines, 1):
        if not line.isprintable():
            lines[number - 1] = "".join(map(_replaced, line))
            if told < _MOST and (problem := _first_fault(line, file, number)):
                problems.append(problem)
                told += 1
    return lines


def _replaced(character: str) -> str:
    if _allowed(character):
        return character
    return " " if character == "\t" else "\ufffd"


def _allowed(character: str) -> bool:
    return character.isprintable() or character in "\u00a0\u202f"


def _first_fault(line: str, file: str, number: int) -> Problem | None:
    column = next((at for at, character in enumerate(line, 1) if not _allowed(character)), None)
    if column is None:
        return None
    place, character = Place(file, number, column), line[column - 1]
    if character == "\t":
        return Problem(place, "tab", "There is a tab here.", "Use spaces: two for each step of indentation.")
    says = f"There is a character here that cannot be seen: {inert(character)}."
    return Problem(place, "control-character", says, "Delete it.")


def _too_large(file: str) -> Problem:
    says = f"The file is larger than {LARGEST // 1_000_000} MB."
    return Problem(Place(file, 1, 1), "too-large", says, "Split it; one file a subsystem.")
