"""Findings that an operator can see, hear, feel or read, and conditions that rules conclude."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from diagnose.knowledge.fields import (
    Amount,
    Key,
    Name,
    Number,
    Pairs,
    Prose,
    Row,
    ScaleWord,
    Several,
    Source,
    Table,
    Word,
    is_text,
)
from diagnose.knowledge.model import PHASES, WHO, Finding, Reading
from diagnose.knowledge.nodes import Mapping, Node, Text
from diagnose.values import quantity
from diagnose.values.names import did_you_mean
from diagnose.values.quantity import CANONICAL_UNITS, QuantityError
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from diagnose.knowledge.link import Names
    from diagnose.knowledge.structure import Entry
    from diagnose.values.problem import Place

__all__ = ["CONDITION", "CONTEXT", "FINDING", "context", "read_findings"]

_RESERVED_VALUES = ("can't tell", "cannot tell", "not sure", "unknown", "skip", "why", "back")
_LONGEST_VALUE = 60
_ABSOLUTE_ZERO = -273.15
_YES_OR_NO = {"false": True, "true": False}

CONTEXT = {
    "phases": Key(Several(Word(PHASES), at_least=1)),
    "needs": Key(Several(Name("feature"))),
    "lacks": Key(Several(Name("feature"))),
}


class _Value:
    """A value of a finding: a word or a few, as an operator would say them."""

    def read(self, node: Node, names: Names) -> str | None:
        """Give the value unless it means something else where answers are typed."""
        text = is_text(node, names, "a value")
        if text is None:
            return None
        value = text.text
        if value.lower() in _RESERVED_VALUES or value.startswith(("$", "not sure")):
            mend = "Use another word."
            names.report(text.place, "reserved-value", f"'{one_line(value)}' is an answer of its own.", mend)
        elif len(value) > _LONGEST_VALUE or value != " ".join(value.split()):
            names.report(
                text.place, "bad-value", f"'{one_line(value)}' is no plain short value.", "Use a word or a few."
            )
        return value


class _InUnit:
    """A bare number, or one with its unit, kept as text until the unit of the reading is known."""

    def read(self, node: Node, names: Names) -> Text | None:
        """Give the text as it stands."""
        return is_text(node, names, "a number")


class _Unit:
    """A canonical unit; another one is reported with the canonical one that measures the same."""

    def read(self, node: Node, names: Names) -> str | None:
        """Give the unit."""
        text = is_text(node, names, "a unit")
        if text is None or text.text in CANONICAL_UNITS:
            return text and text.text
        says = f"'{one_line(text.text)}' is not one of the units that readings are kept in."
        names.report(text.place, "unknown-unit", says, _kept_in(text.text))
        return None


def _kept_in(unit: str) -> str:
    try:
        kept = quantity.read_any(f"1 {unit}").unit
    except QuantityError:
        return did_you_mean(unit, CANONICAL_UNITS, few=len(CANONICAL_UNITS))
    if kept.startswith("bar") and kept != "bar gauge":
        return "Pressures are kept in 'bar gauge', 'bar absolute' or, for a difference, 'bar'."
    return f"Write '{kept}'."


_READING = Table(
    "a reading",
    {
        "unit": Key(_Unit(), needed=True),
        "plausible": Key(Several(_InUnit(), at_least=2), needed=True),
        "accuracy": Key(_InUnit()),
    },
)
_SHARED = {
    **CONTEXT,
    "subsystem": Key(Prose(short=True)),
    "also-called": Key(Several(Prose(short=True))),
    "source": Key(Source(), needed=True),
}
_VALUES = Key(Pairs(_Value(), Word(("normal", "abnormal"))))

FINDING = Table(
    "a finding",
    {
        "ask": Key(Prose(ends="?"), needed=True),
        "how": Key(Prose()),
        "values": _VALUES,
        "reading": Key(_READING),
        "effort": Key(Amount("min", positive=True)),
        "hazard": Key(Prose(short=True)),
        "who": Key(Word(WHO)),
        "asked-in": Key(Several(Word(PHASES), at_least=1)),
        "can-tell": Key(ScaleWord("frequency")),
        "misread": Key(ScaleWord("misread")),
        **_SHARED,
    },
)
CONDITION = Table(
    "a condition",
    {
        "title": Key(Prose(), needed=True),
        "values": _VALUES,
        "judged-from": Key(Several(Name("finding"), at_least=1)),
        **_SHARED,
    },
)


def context(row: Row) -> dict[str, Any]:
    """Give phases (all when none is given), needs and lacks of a row, as the model's types take them."""
    return {
        "phases": frozenset(row.get("phases", PHASES)),
        "needs": frozenset(row.get("needs", ())),
        "lacks": frozenset(row.get("lacks", ())),
    }


def read_findings(entries: Iterable[Entry], names: Names) -> dict[str, Finding]:
    """Read findings and conditions, then join each reading to the condition that judges it."""
    read: dict[str, Finding] = {}
    conditions: list[Entry] = []
    for entry in entries:
        if not isinstance(entry.node, Mapping):
            names.report(entry.node.place, "wrong-shape", f"Here stand the keys of '{one_line(entry.id)}'.")
        elif entry.section == "findings":
            read[entry.id] = _finding(entry, entry.node, names)
        else:
            read[entry.id] = _condition(entry, entry.node, names)
            conditions.append(entry)
    for entry in conditions:
        _join(entry, read, names)
    return read


def _finding(entry: Entry, node: Mapping, names: Names) -> Finding:
    row = FINDING.read(node, names, entry.place) or {}
    who, meant = row.get("who", "operator"), FINDING.meant(node)
    if who == "operator" and "how" not in meant and ("who" in row or "who" not in meant):
        names.report(entry.place, "missing-key", "'how' is missing: say how an operator finds it out safely.")
    if ("values" in meant) == ("reading" in meant):
        says = "A finding has 'values' or a 'reading', one of the two."
        names.report(entry.place, "values-or-reading", says, "What a reading means is a condition judged from it.")
    values = _values(row, node, names) if "values" in row else {}
    reading = _reading(row["reading"], node.entries["reading"], names) if "reading" in row else None
    how = {"ask": row.get("ask", ""), "how": row.get("how", ""), "who": who}
    return _model(entry, row, names, **how, values=values, reading=reading, judged_from=(), concluded=False)


def _condition(entry: Entry, node: Mapping, names: Names) -> Finding:
    row = CONDITION.read(node, names, entry.place) or {}
    values = _values(row, node, names) if "values" in node.entries else _YES_OR_NO
    how = {"ask": row.get("title", ""), "how": "", "who": "operator"}
    judged_from = row.get("judged-from", ())
    return _model(entry, row, names, **how, values=values, reading=None, judged_from=judged_from, concluded=True)


def _model(entry: Entry, row: Row, names: Names, **given: Any) -> Finding:  # noqa: ANN401  fields of Finding
    given["values"] = MappingProxyType(given["values"])
    return Finding(
        id=entry.id,
        judged_as=None,
        effort=row["effort"].value if "effort" in row else 1.0,
        hazard=row.get("hazard", "none"),
        can_tell=_on_scale(names.scales.frequency, row.get("can-tell", "almost always")),
        asked_in=frozenset(row.get("asked-in", ())),
        misread=_on_scale(names.scales.misread, row.get("misread", "seldom")),
        also_called=row.get("also-called", ()),
        subsystem=entry.subsystem,
        source=row.get("source", ""),
        place=entry.place,
        **context(row),
        **given,
    )


def _on_scale(scale: Any, word: str) -> float:  # noqa: ANN401  a mapping from word to number
    return float(scale.get(word, 1.0))


def _values(row: Row, node: Mapping, names: Names) -> dict[str, bool]:
    values = {value: meaning == "normal" for value, meaning in row.get("values", {}).items()}
    written, place = node.entries["values"], node.keys["values"]
    if not isinstance(written, Mapping) or len(values) < len(written.entries):
        return values  # what is missing has been reported
    normal = sum(values.values())
    if len(values) < 2:  # noqa: PLR2004  a finding that has one value tells nothing
        names.report(place, "too-few-values", "A finding needs two values at least.", "Add what else may be seen.")
    elif normal != 1:
        says = f"{normal or 'None'} of the values {'are' if normal else 'is'} normal; exactly one must be."
        names.report(place, "one-normal-value", says, "Mark one value normal and the others abnormal.")
    return values


def _reading(row: Row, node: Node | None, names: Names) -> Reading | None:
    unit = row.get("unit")
    if unit is None or node is None:
        return None
    bounds = [_in_unit(text, unit, names) for text in row.get("plausible", ())]
    accuracy = _in_unit(row["accuracy"], unit, names) if "accuracy" in row else 0.0
    if None in bounds or len(bounds) != 2:  # noqa: PLR2004
        if len(bounds) > 2:  # noqa: PLR2004
            names.report(node.place, "plausible-range", "'plausible' is the least and the most that can be read.")
        return Reading(unit, (float("-inf"), float("inf")), accuracy or 0.0)
    low, high = (bound or 0.0 for bound in bounds)
    if _is_range(low, high, unit, node.place, names) and accuracy is not None and not 0 <= accuracy < high - low:
        names.report(node.place, "impossible-value", "'accuracy' must be from nought to less than the range.")
    return Reading(unit, (low, high), accuracy or 0.0)


def _in_unit(text: Text, unit: str, names: Names) -> float | None:
    says_unit = text.text.lstrip("+-.")[:1].isdigit() and text.text[-1:].isalpha()
    if not says_unit and not text.text.endswith(unit):
        return Number(-1e9, 1e9).read(text, names)
    try:
        return quantity.read(text.text, unit, strict=True).value
    except QuantityError as error:
        names.report(text.place, "wrong-quantity", error.says, error.mend)
        return None


def _is_range(low: float, high: float, unit: str, place: Place, names: Names) -> bool:
    if low >= high:
        names.report(place, "plausible-range", "'plausible' must begin with the least.", f"Write [{high:g}, {low:g}].")
        return False
    least = {"C": _ABSOLUTE_ZERO, "bar absolute": 0.0, "bar gauge": -quantity.STANDARD_ATMOSPHERE}.get(unit)
    if least is not None and low < least:
        says = f"{low:g} {unit} is less than can be."
        names.report(place, "impossible-value", says, f"The least possible is {least:g} {unit}.")
    return True


def _join(entry: Entry, read: dict[str, Finding], names: Names) -> None:
    """Check what a condition is judged from, and tell each reading which condition judges it: the first that does."""
    node = entry.node.entries.get("judged-from") if isinstance(entry.node, Mapping) else None
    place = node.place if node is not None else entry.place
    for name in read[entry.id].judged_from:
        found = read.get(name)
        if found and found.concluded:
            says = (
                f"'{one_line(entry.id)}' is judged from {'itself' if name == entry.id else f'the condition {name!r}'}."
            )
            names.report(place, "judged-from-condition", says, "Name findings that can be asked.")
        elif found and found.reading and found.judged_as is None:
            read[name] = found._replace(judged_as=entry.id)
