"""How each sort of value is read from a node: a clean value, or None with a Problem.

The tables of keys that other modules build from these are also what a schema for editors is made from.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, Protocol, TypeVar

from diagnose.knowledge.link import UNSOURCED, Names
from diagnose.knowledge.nodes import Listing, Mapping, Node, Text
from diagnose.values import quantity
from diagnose.values.names import did_you_mean, is_id, is_machine_id, nearest
from diagnose.values.quantity import Quantity, QuantityError
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Mapping as ReadOnly

    from diagnose.values.problem import Place

__all__ = [
    "Amount",
    "Day",
    "Field",
    "Identifier",
    "Key",
    "Name",
    "Number",
    "Pairs",
    "Prose",
    "Row",
    "ScaleWord",
    "Several",
    "Source",
    "Table",
    "Word",
    "is_text",
]

Row = dict[str, Any]
T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d{1,2})?", re.ASCII | re.IGNORECASE)
_SHAPES = {Text: "text", Listing: "a list", Mapping: "keys with values"}


class Field(Protocol[T_co]):
    """Reads one sort of value."""

    def read(self, node: Node, names: Names) -> T_co | None:
        """Give the clean value; or None, with a Problem unless what it names was switched off."""


def is_text(node: Node, names: Names, what: str = "text") -> Text | None:
    """Give the node when it is text that is not empty, else None with a Problem."""
    if not isinstance(node, Text):
        names.report(node.place, "wrong-shape", f"Here stands {what}, not {_SHAPES[type(node)]}.")
        return None
    if not node.text.strip():
        names.report(node.place, "empty", f"Nothing is written here; {what} is wanted.", "Write it, or delete the key.")
        return None
    return node


def _is_empty(node: Node | None) -> bool:
    return isinstance(node, Text) and not node.text


@dataclass(frozen=True, slots=True)
class Prose:
    """Sentences for people, their white space made single blanks. ``ends`` is what they must end in.

    A ``#`` after a blank may have cut a sentence off; ``short`` words are taken to be followed by a remark.
    """

    ends: str = ""
    short: bool = False

    def read(self, node: Node, names: Names) -> str | None:
        """Give the text; report one that a ``#`` cut off."""
        text = is_text(node, names)
        if text is None:
            return None
        if text.cut and not self.short:
            names.report(text.place, "text-cut-at-hash", "A '#' cuts this text off.", "Put the whole text in quotes.")
        prose = " ".join(text.text.split())
        if not prose.endswith(self.ends):
            names.report(
                text.place,
                "wrong-ending",
                f"This must end in '{self.ends}'.",
                f"Write '{one_line(prose, 40)}{self.ends}'.",
            )
        return prose


@dataclass(frozen=True, slots=True)
class Source:
    """Where a thing is known from: a document with its clause, ``common practice`` or ``from memory``."""

    def read(self, node: Node, names: Names) -> str | None:
        """Give the text; a short name in front must be registered."""
        short = isinstance(node, Text) and node.text in UNSOURCED
        text = Prose(short=short).read(node, names)
        if text is not None:
            names.source(Text(text, node.place))
        return text


@dataclass(frozen=True, slots=True)
class Word:
    """One of the words allowed."""

    allowed: tuple[str, ...]

    def read(self, node: Node, names: Names) -> str | None:
        """Give the word, or report it with the nearest."""
        text = is_text(node, names, "a word")
        if text is None or text.text in self.allowed:
            return text and text.text
        mend = did_you_mean(text.text, self.allowed)
        names.report(text.place, "unknown-word", f"'{one_line(text.text)}' is not one of the words for this.", mend)
        return None


@dataclass(frozen=True, slots=True)
class ScaleWord:
    """A word of a scale: ``frequency``, ``how_common`` or ``misread``."""

    scale: str

    def read(self, node: Node, names: Names) -> str | None:
        """Give the word, which the scales in force define."""
        return Word(tuple(getattr(names.scales, self.scale))).read(node, names)


@dataclass(frozen=True, slots=True)
class Identifier:
    """A new id; ``machine`` allows capital letters."""

    machine: bool = False

    def read(self, node: Node, names: Names) -> str | None:
        """Give the id; a badly formed one is reported and given all the same, so that references to it hold."""
        text = is_text(node, names, "an id")
        if text is None:
            return None
        if not (is_machine_id if self.machine else is_id)(text.text):
            letters = "letters" if self.machine else "lower-case letters"
            mend = f"Use {letters}, digits and single hyphens."
            names.report(text.place, "bad-id", f"'{one_line(text.text)}' cannot be an id.", mend)
        return text.text


@dataclass(frozen=True, slots=True)
class Day:
    """A day, as 2024-05-02."""

    def read(self, node: Node, names: Names) -> str | None:
        """Give the day as written when the calendar has it."""
        from datetime import date  # only for what has been reviewed

        text = is_text(node, names, "a day")
        if text is None:
            return None
        try:
            return date.fromisoformat(text.text).isoformat()
        except ValueError:
            names.report(text.place, "not-a-day", f"'{one_line(text.text)}' is not a day.", "Write it as 2024-05-02.")
            return None


@dataclass(frozen=True, slots=True)
class Name:
    """The id of something defined elsewhere, by its kind."""

    kind: str

    def read(self, node: Node, names: Names) -> str | None:
        """Give the id when it is defined."""
        text = is_text(node, names, f"the id of a {self.kind}")
        return text and names.find(self.kind, text)


@dataclass(frozen=True, slots=True)
class Number:
    """A bare number, both bounds allowed unless ``inside``, when neither is."""

    low: float
    high: float
    inside: bool = False

    def read(self, node: Node, names: Names) -> float | None:
        """Give the number when it lies within the bounds."""
        text = is_text(node, names, "a number")
        if text is None:
            return None
        value = float(text.text) if _NUMBER.fullmatch(text.text) else None
        if value is None:
            names.report(text.place, "not-a-number", f"'{one_line(text.text)}' is not a number.")
        elif not (self.low < value < self.high if self.inside else self.low <= value <= self.high):
            bounds = (
                f"{'between' if self.inside else 'from'} {self.low:g} {'and' if self.inside else 'to'} {self.high:g}"
            )
            names.report(text.place, "impossible-value", f"{value:g} is not possible here.", f"Give a number {bounds}.")
            return None
        return value


@dataclass(frozen=True, slots=True)
class Amount:
    """A number with its unit, given in ``unit``, a canonical one; ``positive``: more than zero."""

    unit: str
    positive: bool = False

    def read(self, node: Node, names: Names) -> Quantity | None:
        """Give the quantity in that unit."""
        text = is_text(node, names, "a number with its unit")
        if text is None:
            return None
        try:
            amount = quantity.read(text.text, self.unit, strict=True)
        except QuantityError as error:
            names.report(text.place, "wrong-quantity", error.says, error.mend)
            return None
        if self.positive and amount.value <= 0:
            names.report(text.place, "impossible-value", f"'{one_line(text.text)}' must be more than zero.")
            return None
        return amount


@dataclass(frozen=True, slots=True)
class Several(Generic[T]):
    """A list; one item may stand for a list of one. An item written twice is reported."""

    item: Field[T]
    at_least: int = 0

    def read(self, node: Node, names: Names) -> tuple[T, ...] | None:
        """Give the items that could be read."""
        nodes = node.items if isinstance(node, Listing) else [node]
        if len(nodes) < self.at_least:
            names.report(node.place, "too-few", f"At least {self.at_least} must stand here.")
        seen: set[str] = set()
        for one in nodes:
            if isinstance(one, Text) and one.text in seen:
                names.report(one.place, "stands-twice", f"'{one_line(one.text)}' stands here twice.", "Delete one.")
            seen.update([one.text] if isinstance(one, Text) else [])
        read = [self.item.read(one, names) for one in nodes if one is not None]
        return tuple(one for one in read if one is not None)


@dataclass(frozen=True, slots=True)
class Pairs(Generic[T]):
    """Keys that are not fixed, each with a value of one sort."""

    key: Field[str]
    value: Field[T]

    def read(self, node: Node, names: Names) -> dict[str, T] | None:
        """Give the pairs whose key and value could be read."""
        if not isinstance(node, Mapping):
            names.report(node.place, "wrong-shape", f"Here stand keys with values, not {_SHAPES[type(node)]}.")
            return None
        pairs: dict[str, T] = {}
        for name, inner in node.entries.items():
            key = self.key.read(Text(name, node.keys[name]), names)
            value = None if inner is None else self.value.read(inner, names)
            if key is not None and value is not None:
                pairs[key] = value
        return pairs


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a table: how its value is read, and whether it must stand there."""

    field: Field[Any]
    needed: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A mapping with fixed keys. ``what`` names it in messages: ``a cause``."""

    what: str
    keys: ReadOnly[str, Key]

    def meant(self, node: Mapping) -> set[str]:
        """Give the keys that are written, and those that a misspelt one is taken for: neither is missing."""
        unknown = node.entries.keys() - self.keys.keys()
        return {*node.entries, *(one for name in unknown for one in nearest(name, self._likely(name, node)))}

    def _likely(self, name: str, node: Mapping) -> set[str]:
        """Give the keys that a wrong one may stand for: of those not written the needed ones, if one is near."""
        free = self.keys.keys() - node.entries.keys()
        needed = {one for one in free if self.keys[one].needed}
        return needed if nearest(name, needed) else free

    def read(self, node: Node, names: Names, at: Place | None = None) -> Row | None:
        """Give the values that could be read, by key. A missing key is reported at ``at``."""
        if not isinstance(node, Mapping):
            names.report(node.place, "wrong-shape", f"Here stand the keys of {self.what}, not {_SHAPES[type(node)]}.")
            return None
        for name in node.entries.keys() - self.keys.keys():
            mend = did_you_mean(name, self._likely(name, node), few=20)
            if _is_empty(node.entries[name]):
                mend = "In braces a comma ends the text: put the text in quotes."
            names.report(node.keys[name], "unknown-key", f"'{one_line(name)}' is not a key of {self.what}.", mend)
        meant = self.meant(node)
        for name, key in self.keys.items():
            if key.needed and name not in meant:
                names.report(at or node.place, "missing-key", f"'{name}' is missing: {self.what} needs it.")
        row = {
            name: key.field.read(inner, names)
            for name, key in self.keys.items()
            if (inner := node.entries.get(name)) is not None
        }
        return {name: value for name, value in row.items() if value is not None}
