"""The page of a check: why it matters, a bad and a good example, a mend; read from the text that stands with it."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import dedent

__all__ = ["Page", "page_of"]


@dataclass(frozen=True, slots=True)
class Page:
    """What ``--explain CODE`` prints. The examples are rules text, tried by the tests."""

    code: str
    level: str
    title: str
    why: str
    bad: str
    good: str
    mend: str

    def text(self) -> str:
        """Give the page in lines for a terminal."""
        shown = [("Bad", self.bad), ("Good", self.good)]
        parts = [f"{self.code} ({self.level}): {self.title}", self.why]
        for name, example in shown:
            parts.append("\n".join([f"{name}:", *(f"    {line}".rstrip() for line in example.splitlines())]))
        return "\n\n".join([*(part for part in parts if part), f"Mend: {self.mend}"])


def page_of(text: str, level: str) -> Page:
    """Read ``code: title``, why, ``Bad:``, ``Good:`` and ``Mend:`` from a docstring."""
    head, _, rest = dedent(text).strip().partition("\n")
    code, _, title = head.partition(": ")
    why, _, rest = rest.partition("\nBad:\n")
    bad, _, rest = rest.partition("\nGood:\n")
    good, _, mend = rest.partition("\nMend: ")
    return Page(code, level, title.strip(), _flat(why), _example(bad), _example(good), _flat(mend))


def _flat(text: str) -> str:
    return " ".join(text.split())


def _example(text: str) -> str:
    return dedent(text).strip("\n") + "\n"
