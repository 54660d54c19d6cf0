"""YAML text as nodes with places; every scalar stays the text the planner wrote. The only importer of ``yaml``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from diagnose.knowledge.characters import cleaned
from diagnose.values.problem import Place, Problem
from diagnose.values.text import inert, one_line

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["Failure", "Listing", "Mapping", "Node", "Text", "failure", "read"]

_WRITE_OUT = "Write it out."
_QUOTE = "Write it out; if it is meant as text, put it in quotes."
_EXPLAINS = ("tab", "control-character")  # what follows from these is no news
_DEEPEST = 24  # any-of inside not inside all-of ... in a rule comes to 12
_MOST_NODES = 500_000


class Text(NamedTuple):
    """A scalar as written. ``cut``: a ``#`` ended it, so that words may be missing."""

    text: str
    place: Place
    cut: bool = False


class Listing(NamedTuple):
    """A list; None stands for an item that was reported and cannot be read."""

    items: list[Node | None]
    place: Place


class Mapping(NamedTuple):
    """Keys with their nodes and places; None stands for a value that was reported and cannot be read."""

    entries: dict[str, Node | None]
    keys: dict[str, Place]
    place: Place


Node = Text | Listing | Mapping


class Failure(NamedTuple):
    """How and where the parser gave up: its own words, the line, the one before it, and the column from zero.

    ``opened`` is the number of the line on which began what it could not finish; 0 when it does not say.
    """

    words: tuple[str, str, str]
    number: int
    before: str
    line: str
    column: int
    opened: int = 0


def read(text: str, file: str, problems: list[Problem], *, pure: bool = False) -> Node | None:
    """Read one document. Faults are added to ``problems``; None when the text cannot be read as YAML at all.

    The parser in C is used where it was built, the one in Python elsewhere or with ``pure``. An empty file is an
    empty mapping.
    """
    before = len(problems)
    lines = cleaned(text, file, problems)
    if lines is None:
        return None
    builder = _Builder(file, lines, problems)
    try:
        return builder.build(_events("\n".join(lines), pure=pure))
    except _Unreadable:
        return None
    except Exception as error:
        if not _is_syntax(error):
            raise
        if not any(problem.code in _EXPLAINS for problem in problems[before:]):
            problems.append(_explained(error, file, lines, pure=pure))
        return None


def failure(text: str, *, pure: bool) -> Failure | None:
    """Say how the parser fails on the text, to compare with another failure; None if it does not fail."""
    try:
        for _ in _events(text, pure=pure):
            pass
    except Exception as error:
        if not _is_syntax(error):
            raise
        return _failure(error, text.split("\n"))
    return None


class _Unreadable(Exception):  # noqa: N818  it never leaves this module
    """The fault has been reported and nothing can be read past it."""


class _Builder:
    """Builds nodes from parser events; one for each text."""

    def __init__(self, file: str, lines: list[str], problems: list[Problem]) -> None:
        self.file = file
        self.problems = problems
        self.lines = lines
        self.hashes = {number for number, line in enumerate(lines) if " #" in line}
        self.nodes = 0

    def build(self, events: Iterator[Any]) -> Node:
        first = next((event for event in events if self._is_content(event)), None)
        if first is None:
            return Mapping({}, {}, Place(self.file, 1, 1))
        root = self._node(first, events, 0)
        if isinstance(root, Text) and not root.text:  # '---' alone: the parsers disagree on where its nothing stands
            root = Mapping({}, {}, Place(self.file, 1, 1))
        for event in events:
            if type(event).__name__ == "DocumentStartEvent":
                self._report(self._place(event), "several-documents", "A second document starts here.", "Delete '---'.")
                break
        if root is None:
            raise _Unreadable
        return root

    def _is_content(self, event: Any) -> bool:  # noqa: ANN401
        name = type(event).__name__
        if name == "DocumentStartEvent" and (event.version or event.tags):
            self._report(self._place(event), "directive", "Lines that begin with % are not used here.", "Delete it.")
        return name not in ("StreamStartEvent", "DocumentStartEvent", "StreamEndEvent")

    def _node(self, event: Any, events: Iterator[Any], depth: int) -> Node | None:  # noqa: ANN401
        self.nodes += 1
        name = type(event).__name__
        if name == "AliasEvent":
            self._report(
                self._place(event), "alias", "'*' repeats a part from elsewhere; that is not used here.", _QUOTE
            )
            return None
        if event.anchor is not None:
            self._report(
                self._place(event), "anchor", "'&' names a part for use elsewhere; that is not used here.", _QUOTE
            )
        if event.tag is not None:
            self._report(self._place(event), "tag", "'!' gives a type; here everything is text.", _QUOTE)
        if name == "ScalarEvent":
            return self._text(event)
        if depth >= _DEEPEST or self.nodes > _MOST_NODES:
            self._report(
                self._place(event), "too-deep", "The nesting is too deep, or the file holds too much.", "Split it."
            )
            raise _Unreadable
        if name == "SequenceStartEvent":
            return self._listing(event, events, depth)
        return self._mapping(event, events, depth)

    def _text(self, event: Any) -> Text:  # noqa: ANN401
        mark = event.start_mark
        place = Place(self.file, mark.line + 1, mark.column + 1)
        if not event.style:  # '' from the parser in C, None from the other
            end = event.end_mark
            cut = end.line in self.hashes and self.lines[end.line][end.column :].lstrip(" ").startswith("#")
            if end.line > mark.line:
                self._check_joined(mark.line, end.line)
            return Text(event.value, place, cut)
        value = event.value
        if event.style == '"' and not value.replace("\n", "").isprintable():
            says = f"The quoted text holds a character that cannot be seen: {one_line(inert(value))}."
            self._report(place, "control-character", says, "Delete it.")
            value = "".join(one if one.isprintable() or one == "\n" else " " for one in value)
        return Text(value, place)

    def _check_joined(self, first: int, last: int) -> None:
        """Report an item of a list that stands too far in, so that it would be read as more of the text above it."""
        for number in range(first + 1, last + 1):
            line = self.lines[number]
            if line.lstrip().startswith("- "):
                place = Place(self.file, number + 1, len(line) - len(line.lstrip()) + 1)
                says = "This item would be read as more of the text above it."
                self._report(place, "item-too-far-in", says, "Line it up with the other items, or quote the text.")

    def _listing(self, start: Any, events: Iterator[Any], depth: int) -> Listing:  # noqa: ANN401
        items: list[Node | None] = []
        for event in events:
            if type(event).__name__ == "SequenceEndEvent":
                break
            items.append(self._node(event, events, depth + 1))
        return Listing(items, self._place(start))

    def _mapping(self, start: Any, events: Iterator[Any], depth: int) -> Mapping:  # noqa: ANN401
        entries: dict[str, Node | None] = {}
        keys: dict[str, Place] = {}
        for event in events:
            if type(event).__name__ == "MappingEndEvent":
                break
            key = self._key(event, events, depth)
            value = self._node(next(events), events, depth + 1)
            if key is None:
                continue
            if key.text in keys:
                says = f"The key '{one_line(key.text)}' stands twice; the first is on line {keys[key.text].line}."
                self._report(key.place, "duplicate-key", says, "Delete one of them, or join them.")
                continue
            if isinstance(value, Text) and not value.text:  # the parsers differ on where nothing stands
                value = value._replace(place=key.place)
            entries[key.text], keys[key.text] = value, key.place
        return Mapping(entries, keys, self._place(start))

    def _key(self, event: Any, events: Iterator[Any], depth: int) -> Text | None:  # noqa: ANN401
        key = self._node(event, events, depth + 1)
        if key is None:
            return None
        if not isinstance(key, Text) or not key.text:
            self._report(key.place, "key-not-a-word", "A key must be a word.", "Put a word before the colon.")
            return None
        if key.text == "<<" and not event.style:
            self._report(
                key.place, "merge-key", "'<<' merges a part from elsewhere; that is not used here.", _WRITE_OUT
            )
            return None
        return key

    def _place(self, event: Any) -> Place:  # noqa: ANN401
        return Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)

    def _report(self, place: Place, code: str, says: str, mend: str) -> None:
        self.problems.append(Problem(place, code, says, mend))


def _events(text: str, *, pure: bool) -> Iterator[Any]:
    import yaml  # 40 ms, and not needed when the cache answers

    fast = getattr(yaml, "CSafeLoader", None)
    return yaml.parse(text, Loader=yaml.SafeLoader if pure or fast is None else fast)


def _is_syntax(error: Exception) -> bool:
    import yaml

    return isinstance(error, yaml.YAMLError | UnicodeError | ValueError | OverflowError)


def _failure(error: Any, lines: list[str]) -> Failure:  # noqa: ANN401
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    line, column = (mark.line, mark.column) if mark else (0, 0)
    line = min(line, len(lines) - 1)
    while line > 0 and not lines[line].strip():  # the end of the text: show the last line that holds something
        line, column = line - 1, len(lines[line - 1])
    words = type(error).__name__, str(getattr(error, "context", "")), str(getattr(error, "problem", ""))
    context = getattr(error, "context_mark", None)
    opened = context.line + 1 if context else 0
    return Failure(words, line + 1, lines[line - 1] if line else "", lines[line], column, opened)


def _explained(error: Exception, file: str, lines: list[str], *, pure: bool) -> Problem:
    from diagnose.knowledge.culprit import culprit
    from diagnose.knowledge.not_yaml import mend_for  # it needs this module to try its examples

    failed = _failure(error, lines)
    spot = culprit(lines, failed)
    number, column = (spot.number, spot.column) if spot else (failed.number, failed.column)
    mend = (spot.mend if spot else "") or mend_for(failed, pure=pure)
    return Problem(Place(file, number, column + 1), "not-yaml", "The text cannot be read from here on.", mend)
