"""Mends for text that is not YAML, matched by example: the snippet that fails in the same way lends its mend."""

from __future__ import annotations

import functools

from diagnose.knowledge.culprit import NO_COLON, OPEN_QUOTE, OUT_OF_LINE
from diagnose.knowledge.nodes import Failure, failure

__all__ = ["EXAMPLES", "GENERAL", "mend_for"]

GENERAL = "Look at the indentation, colons and quotes of this line and of the one above."

EXAMPLES: dict[str, tuple[str, ...]] = {
    "A colon and a blank start a new key: put the text in quotes.": (
        "do: Check: the valve",
        "a:\n  b: c\n  d: e f: g",
        "do: Look at this: it is\n  on two lines: yes",
        "- {who: operator, do: Valve and gauge agree: unload, procedure: x}",
    ),
    "Text cannot begin with @ or `: put it in quotes.": ("who: @supervisor", "do: `open`"),
    "Text cannot begin with %: put it in quotes, or write the number first.": ("unit: %",),
    "An apostrophe ended the text: put the text in double quotes.": ("do: 'don't'", "do: 'the turbine's valve'"),
    "A double quote ended the text: put the text in single quotes.": (
        'do: "the "cold" end"',
        'do: "cold" end',
        '- {who: operator, do: "Keep off the "cold", end", procedure: x}',
    ),
    "Round brackets do not group here: use braces, {key: value}.": ("symptom: (oil: low)",),
    OPEN_QUOTE: ('do: "Open the valve\nwho: operator', "do: 'Open"),
    "A bracket '[' is opened and not closed, or a comma is missing: close it with ']'.": (
        "phases: [run-up, loaded\nwho: operator",
        "phases: [run-up, loaded",
        "phases: [run-up, {a: b] loaded]",
    ),
    "A brace '{' is opened and not closed, or a comma is missing: close it with '}'.": (
        "values: {clear: normal, milky: abnormal\nwho: operator",
        "values: {clear: normal",
        "values: {clear: normal milky: abnormal}",
        "values: {clear: normal, milky: abnormal]",
    ),
    OUT_OF_LINE: (
        "a:\n    b: c\n  d: e",
        "a:\n  - b: c\n   d: e",
        "a:\n  - b\n - c",
        "a:\n  b: c\n    d: e",
    ),
    "A list item stands where a key is expected: put '- ' on lines of its own under the key.": (
        "causes: - leak",
        "a: b\n- c",
    ),
    "A key stands in the middle of a list: start the item with '- '.": ("- a\nb: c", "a:\n  - b\n  c: d"),
    NO_COLON: (
        "a: b\nwho operator\nc: d",
        "a:\n  who:operator\n  c: d",
        "just words\na: b",
    ),
    "Text cannot begin with ? in braces: put it in quotes; a variable is written $a.": ("a: {machine: ?a}",),
    "A backslash in double quotes starts a code: use single quotes.": ('do: "C:\\path"', 'do: "50 \\% open"'),
    "Text cannot begin with | or >: put it in quotes, or start it on the next line.": (
        "do: |Open the valve",
        "above: > 5",
    ),
    "Text cannot begin with * or &: put it in quotes.": ("do: *", "do: & open", "do: * open"),
    "Text cannot begin with !: put it in quotes.": ("do: !<open", "do: !a!b!c open"),
}


def mend_for(failed: Failure, *, pure: bool) -> str:
    """Give the mend of the example that fails most like this, or a general one when none fails for the same reason."""
    alike = [
        (_likeness(example, failed), mend) for example, mend in _failures(pure=pure) if example.words == failed.words
    ]
    return max(alike)[1] if alike else GENERAL


def _likeness(example: Failure, failed: Failure) -> float:
    """Count what the two spots share; how alike the lines look decides between equals."""
    import difflib  # only when something is wrong

    shared = sum(mine == theirs for mine, theirs in zip(_shape(example), _shape(failed), strict=True))
    return shared + difflib.SequenceMatcher(None, example.line, failed.line[:200]).ratio()


def _shape(failed: Failure) -> tuple[object, ...]:
    """Describe the spot: what stands there, the quote before it, how its line and the one before begin and end."""
    here = failed.line[failed.column : failed.column + 1]
    left = failed.line[: failed.column]
    return (
        "word" if here.isalnum() else here,
        next((mark for mark in reversed(left) if mark in "\"'"), ""),
        not left.strip(),
        ": " in left,
        ": (" in left,
        failed.line.lstrip()[:2] == "- ",
        failed.before.lstrip()[:2] == "- ",
        ": " in failed.before or failed.before.endswith(":"),
    )


@functools.cache
def _failures(*, pure: bool) -> list[tuple[Failure, str]]:
    """Try every example with the same parser: versions of it differ in their words."""
    tried = [(failure(example, pure=pure), mend) for mend, examples in EXAMPLES.items() for example in examples]
    return [(failed, mend) for failed, mend in tried if failed]
