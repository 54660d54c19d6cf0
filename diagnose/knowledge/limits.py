"""What a reading is compared with: a quantity, or a value of the machine with a factor and an offset."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from diagnose.knowledge.fields import is_text
from diagnose.knowledge.model import AllOf, AnyOf, Compare, CountOf, Limit, Not, Reading
from diagnose.knowledge.nodes import Text
from diagnose.values import quantity
from diagnose.values.names import did_you_mean, is_id
from diagnose.values.quantity import Quantity, QuantityError, difference_unit
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.knowledge.link import Names
    from diagnose.knowledge.model import Condition, Finding, Rule
    from diagnose.knowledge.nodes import Node

__all__ = ["COMPARISONS", "RATED", "limit_units", "read_limit"]

COMPARISONS = ("above", "below", "at-least", "at-most")
RATED = {
    "rated-speed": "rpm",
    "rated-inlet-pressure": "bar gauge",
    "rated-inlet-temperature": "C",
    "rated-exhaust-pressure": "bar gauge",
    "rated-power": "kW",
}
_OF_MACHINE = re.compile(
    r"(?:(?P<percent>\d+(?:\.\d+)?) ?% of )?machine\.(?P<name>\S+)(?: (?P<sign>[+-]) ?(?P<offset>.+))?", re.ASCII
)


def read_limit(node: Node, reading: Reading, names: Names) -> Limit | None:
    """Read ``82 C``, ``machine.trip-speed``, ``90 % of machine.rated-speed`` or ``machine.normal-x + 10 K``."""
    text = is_text(node, names, "a limit")
    if text is None:
        return None
    found = _OF_MACHINE.fullmatch(" ".join(text.text.split()))
    if found is None:
        amount = _quantity(text, text.text, reading.unit, names)
        return _plausible(text, amount, reading, names) if amount else None
    name = found["name"]
    if not _is_known(name, text, reading, names):
        return None
    offset = _quantity(text, found["offset"], difference_unit(reading.unit), names) if found["offset"] else None
    signed = (-1 if found["sign"] == "-" else 1) * (offset.value if offset else 0.0)
    return Limit(None, name, float(found["percent"]) / 100 if found["percent"] else 1.0, signed)


def limit_units(rules: Iterable[Rule], findings: Mapping[str, Finding]) -> dict[str, str]:
    """Give the unit of each machine's value that the rules compare a reading with."""
    compared = (one for rule in rules for condition in rule.when for one in _comparisons(condition))
    readings = ((one.limit.machine, findings[one.reading].reading) for one in compared if one.limit.machine)
    return {name: reading.unit for name, reading in readings if reading}


def _comparisons(condition: Condition) -> Iterator[Compare]:
    if isinstance(condition, Compare):
        yield condition
    elif isinstance(condition, Not):
        yield from _comparisons(condition.condition)
    elif isinstance(condition, AnyOf | AllOf | CountOf):
        for inner in condition.conditions:
            yield from _comparisons(inner)


def _quantity(text: Text, written: str, unit: str, names: Names) -> Quantity | None:
    if "machine" in written.lower():
        says = f"'{one_line(written)}' is not a limit."
        mend = "Write machine.NAME, N % of machine.NAME, or machine.NAME + 10 K."
        names.report(text.place, "not-a-limit", says, mend)
        return None
    try:
        return quantity.read(written, unit, strict=True)
    except QuantityError as error:
        names.report(text.place, "wrong-quantity", error.says, error.mend)
        return None


def _plausible(text: Text, amount: Quantity, reading: Reading, names: Names) -> Limit:
    low, high = reading.plausible
    if not low <= amount.value <= high:
        says = f"{one_line(text.text)} can never be read: this reading goes from {low:g} to {high:g} {reading.unit}."
        names.report(text.place, "impossible-value", says)
    return Limit(amount, "")


def _is_known(name: str, text: Text, reading: Reading, names: Names) -> bool:
    """Check a value of the machine: its name where names are fixed, and that it is in the unit of the reading."""
    if not is_id(name):
        says = f"'{one_line(name)}' is not the name of a machine's value."
        names.report(text.place, "not-a-limit", says, "Write machine.NAME, such as machine.trip-speed.")
        return False
    kind, _, rest = name.partition("-")
    if kind == "normal":
        return _normal(rest, text, reading, names)
    if kind == "rated" and name not in RATED:
        says = f"A machine has no '{one_line(name)}'."
        names.report(text.place, "unknown-rating", says, did_you_mean(name, RATED))
        return False
    unit = RATED.get(name) or names.limit_units.setdefault(name, reading.unit)
    return _same_unit(name, unit, text, reading, names)


def _normal(rest: str, text: Text, reading: Reading, names: Names) -> bool:
    if names.find("finding", Text(rest, text.place)) is None:
        return False
    other = names.findings.get(rest)
    if other is not None and other.reading is None:
        names.report(
            text.place, "not-a-reading", f"'{one_line(rest)}' is not a number.", "Name a reading after 'normal-'."
        )
        return False
    unit = other.reading.unit if other and other.reading else reading.unit
    return _same_unit(f"normal-{rest}", unit, text, reading, names)


def _same_unit(name: str, unit: str, text: Text, reading: Reading, names: Names) -> bool:
    if unit != reading.unit:
        says = f"machine.{one_line(name)} is in {unit}, this reading in {reading.unit}."
        names.report(text.place, "wrong-unit", says, "Compare it with a value in its own unit.")
    return unit == reading.unit
