"""A new entry put into a rules file as text: comments, order and line endings of what is there stay."""

from __future__ import annotations

import re

from diagnose.values.text import lines_of

__all__ = ["entry_at", "inserted"]


def inserted(text: str, section: str, entry: str) -> str:
    """Return the text with the entry at the end of its section; the section is begun at the end if it is not there.

    ``entry`` is written as it stands below the section's key, indented by two blanks.
    """
    ending = "\r\n" if "\r\n" in text else "\n"
    lines = lines_of(text)
    new = entry.rstrip("\n").split("\n")
    head = next((at for at, line in enumerate(lines) if re.match(rf"{re.escape(section)}:\s*(#.*)?$", line)), None)
    if head is None:
        kept = "\n".join(lines).rstrip("\n")
        joined = [*([*kept.split("\n"), ""] if kept else []), f"{section}:", *new]
        return ending.join(joined) + ending
    end = next((at for at in range(head + 1, len(lines)) if re.match(r"[A-Za-z]", lines[at])), len(lines))
    while end > head + 1 and (not lines[end - 1].strip() or lines[end - 1].startswith("#")):
        end -= 1  # a remark at the margin belongs to the section that follows
    gap = [""] if end > head + 1 else []
    rest = lines[end:] if any(line.strip() for line in lines[end:]) else [""]
    return ending.join([*lines[:end], *gap, *new, *rest])


def entry_at(text: str, line: int) -> tuple[str, str]:
    """Return the section, and the whole entry as it is written, that a line (counted from 1) stands in.

    Entries are indented by two blanks, as the shipped files are; what is said about the next one is left out.
    """
    lines = lines_of(text)
    head = next(at for at in range(line - 1, -1, -1) if re.match(r" {2}[\w-]", lines[at]))
    section = next(at for at in range(head, -1, -1) if re.match(r"[a-z-]+:", lines[at]))
    end = next((at for at in range(head + 1, len(lines)) if re.match(r" {0,2}\S", lines[at])), len(lines))
    return lines[section].split(":")[0], "\n".join(lines[head:end]).rstrip() + "\n"
