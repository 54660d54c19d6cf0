"""Conditions as rules write them under ``when``, and findings with the values they are to have."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from diagnose.knowledge.fields import Key, Name, Number, Several, Table, Word, is_text
from diagnose.knowledge.limits import COMPARISONS, read_limit
from diagnose.knowledge.model import (
    PHASES,
    AllOf,
    AnyOf,
    Compare,
    Condition,
    CountOf,
    Holds,
    MachineHolds,
    Not,
    Unknown,
)
from diagnose.knowledge.nodes import Listing, Mapping, Node, Text
from diagnose.values.names import did_you_mean
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from diagnose.knowledge.link import Names

__all__ = ["SHARES", "FindingValues", "When"]

SHARES = ("steam-header", "exhaust-header", "cooling-water-supply", "oil-batch")
_COMPARE = Table("a comparison", {"reading": Key(Name("finding"), needed=True)})


@dataclass(frozen=True, slots=True)
class FindingValues:
    """Findings or conditions, each with a value or, with ``many``, a list of them."""

    many: bool = True

    def read(self, node: Node, names: Names) -> dict[str, tuple[str, ...]] | None:
        """Give the values wanted by finding."""
        if not isinstance(node, Mapping):
            names.report(
                node.place, "wrong-shape", "Here stands 'finding: value'.", "Write it in braces: {finding: value}."
            )
            return None
        wanted: dict[str, tuple[str, ...]] = {}
        for name, inner in node.entries.items():
            if _lacks_colon(Text(name, node.keys[name]), inner, names):
                continue
            finding = names.find("finding", Text(name, node.keys[name]))
            values = () if inner is None or finding is None else _values(finding, inner, names, many=self.many)
            if finding is not None and values:
                wanted[finding] = values
        return wanted


@dataclass(frozen=True, slots=True)
class When:
    """One condition; ``top``: it stands directly under ``when``, where joins over machines are allowed.

    Reads None, without a Problem, when the condition rests on something switched off.
    """

    top: bool = True

    def read(self, node: Node, names: Names) -> Condition | None:
        """Give the condition."""
        if not isinstance(node, Mapping) or not node.entries:
            names.report(node.place, "wrong-shape", "Here stands a condition.", "Write {finding: value}.")
            return None
        for key, read in _READERS.items():
            if key in node.entries:
                return read(node, names)
        if "machine" in node.entries:
            return _machine(node, names, top=self.top)
        return _holds(node, names)


def _lacks_colon(name: Text, inner: Node | None, names: Names) -> bool:
    """Report ``{finding value}`` and ``{finding:value}``, which YAML takes for a key with nothing behind it."""
    first, _, rest = name.text.replace(":", " ").partition(" ")
    lacks = isinstance(inner, Text) and not inner.text and bool(rest) and first in names.known.get("finding", {})
    if lacks:
        says = f"'{one_line(name.text)}' has no colon with a blank after it."
        names.report(name.place, "no-colon", says, f"Write {{{first}: {one_line(rest.strip())}}}.")
    return lacks


def _values(finding: str, node: Node, names: Names, *, many: bool) -> tuple[str, ...]:
    nodes = node.items if isinstance(node, Listing) and many else [node]
    texts = [text for one in nodes if one is not None and (text := is_text(one, names, "a value"))]
    return tuple(value for text in texts if (value := names.value(finding, text)) is not None)


def _alone(node: Mapping, names: Names, *keys: str) -> None:
    """Report keys that do not belong in one condition with these."""
    for name in node.entries:
        if name not in keys:
            says = f"'{one_line(name)}' does not belong in one condition with '{keys[0]}'."
            mend = did_you_mean(name, keys[1:], few=0) or "Write it as a condition of its own."
            names.report(node.keys[name], "two-conditions", says, mend)


def _holds(node: Mapping, names: Names) -> Condition | None:
    first = next(iter(node.entries))
    _alone(node, names, first)
    inner = node.entries[first]
    if inner is None:
        return None
    if first == "phase":
        phases = Several(Word(PHASES), at_least=1).read(inner, names)
        return Holds("phase", phases) if phases else None
    if first == "feature":
        features = Several(Name("feature"), at_least=1).read(inner, names)
        return Holds("feature", features) if features else None
    if _lacks_colon(Text(first, node.keys[first]), inner, names):
        return None
    finding = names.find("finding", Text(first, node.keys[first]), also=_KEYWORDS)
    values = finding and _values(finding, inner, names, many=True)
    return Holds(finding, values) if finding and values else None


def _compare(node: Mapping, names: Names) -> Condition | None:
    _alone(node, names, "reading", *COMPARISONS)
    row = _COMPARE.read(Mapping({"reading": node.entries["reading"]}, node.keys, node.place), names) or {}
    given = [how for how in COMPARISONS if how in node.entries]
    if not given and len(node.entries) == 1:
        names.report(node.place, "nothing-to-compare", "A comparison needs a limit.", "Add 'above: 82 C'.")
    name = row.get("reading")
    finding = names.findings.get(name or "")
    if finding is not None and finding.reading is None:
        says = f"'{one_line(finding.id)}' is not a number."
        names.report(node.keys["reading"], "not-a-reading", says, f"Write {{{finding.id}: value}}.")
        return None
    if finding is None or finding.reading is None:
        return None
    limits = [
        (how, read_limit(inner, finding.reading, names)) for how in given if (inner := node.entries[how]) is not None
    ]
    compared = tuple(Compare(finding.id, how, limit) for how, limit in limits if limit is not None)
    return compared[0] if len(compared) == 1 else AllOf(compared) if compared else None


def _not(node: Mapping, names: Names) -> Condition | None:
    _alone(node, names, "not")
    inner = node.entries["not"]
    condition = None if inner is None else When(top=False).read(inner, names)
    return Not(condition) if condition else None


def _unknown(node: Mapping, names: Names) -> Condition | None:
    _alone(node, names, "unknown")
    inner = node.entries["unknown"]
    finding = None if inner is None else Name("finding").read(inner, names)
    return Unknown(finding) if finding else None


def _any_of(node: Mapping, names: Names) -> Condition | None:
    _alone(node, names, "any-of")
    conditions = [one for one in _listed(node, "any-of", names) if one]
    return AnyOf(tuple(conditions)) if conditions else None


def _all_of(node: Mapping, names: Names) -> Condition | None:
    _alone(node, names, "all-of")
    conditions = _listed(node, "all-of", names)
    return AllOf(_all(conditions)) if conditions and all(conditions) else None


def _count(node: Mapping, names: Names) -> Condition | None:
    _alone(node, names, "count", "at-least")
    conditions = _listed(node, "count", names)
    number = node.entries.get("at-least")
    at_least = Number(1, max(1, len(conditions))).read(number, names) if number else None
    if "at-least" not in node.entries:
        names.report(node.place, "missing-key", "'at-least' is missing: say how many must hold.")
    if at_least is None or not conditions or not all(conditions):
        return None
    return CountOf(_all(conditions), int(at_least))


def _listed(node: Mapping, key: str, names: Names) -> list[Condition | None]:
    inner = node.entries[key]
    if isinstance(inner, Listing) and inner.items:
        return [None if one is None else When(top=False).read(one, names) for one in inner.items]
    if inner is not None:
        names.report(inner.place, "wrong-shape", f"'{key}' holds a list of conditions.")
    return []


def _all(conditions: Iterable[Condition | None]) -> tuple[Condition, ...]:
    return tuple(one for one in conditions if one)


def _machine(node: Mapping, names: Names, *, top: bool) -> Condition | None:
    """Read a join: a machine bound to a variable, its attributes, and the variables it must differ from."""
    if not top:
        says = "A machine cannot be bound inside another condition."
        names.report(node.keys["machine"], "machine-inside", says, "Put it directly under 'when'.")
        return None
    machine = _variable(node.entries["machine"], names)
    others = node.entries.get("other-than")
    listed = others.items if isinstance(others, Listing) else [others] if others else []
    other_than = tuple(variable for one in listed if (variable := _variable(one, names)))
    values: dict[str, str] = {}
    for name, inner in node.entries.items():
        if name not in ("machine", "other-than") and inner is not None:
            value = _attribute(Text(name, node.keys[name]), inner, names)
            if value is None:
                return None
            values[name] = value
    return MachineHolds(machine, MappingProxyType(values), other_than) if machine else None


def _attribute(name: Text, node: Node, names: Names) -> str | None:
    value = is_text(node, names, "a value or a variable")
    if name.text not in SHARES and names.find("finding", name) is None:
        return None
    if value is None or name.text in SHARES or value.text.startswith("$"):
        return value and value.text
    return names.value(name.text, value)


def _variable(node: Node | None, names: Names) -> str:
    text = is_text(node, names, "a variable") if node else None
    if text is None:
        return ""
    if not text.text.startswith("$") or not text.text[1:].isalnum():
        says = f"'{one_line(text.text)}' is not a variable."
        names.report(text.place, "not-a-variable", says, "Write a $ and a word, such as $a.")
    return text.text


_KEYWORDS = ("reading", "phase", "feature", "not", "unknown", "any-of", "all-of", "count", "machine")
_READERS = {
    "reading": _compare,
    "not": _not,
    "unknown": _unknown,
    "any-of": _any_of,
    "all-of": _all_of,
    "count": _count,
}
