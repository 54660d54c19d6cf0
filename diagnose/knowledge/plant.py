"""A site: its name and units, and the profiles of its machines."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from diagnose.knowledge.fields import Identifier, Key, Name, Pairs, Prose, Several, Table, Word, is_text
from diagnose.knowledge.instruments import read_instruments
from diagnose.knowledge.layout import Rounds
from diagnose.knowledge.limits import RATED
from diagnose.knowledge.model import Machine, Site
from diagnose.knowledge.nodes import Mapping, Node, Text
from diagnose.values import quantity
from diagnose.values.quantity import Quantity, QuantityError
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from diagnose.knowledge.link import Names

__all__ = ["MACHINE", "SHARES", "SITE", "read_machine", "read_site"]

SHARES = {
    "steam": "steam-header",
    "exhaust": "exhaust-header",
    "cooling-water": "cooling-water-supply",
    "oil": "oil-batch",
}
_DRIVES = {
    "pump": "drives-pump",
    "fan": "drives-fan",
    "compressor": "drives-compressor",
    "generator": "drives-generator",
}


class _Limits:
    """Quantities by name, each in the unit of the reading that rules compare it with, or in its own."""

    def read(self, node: Node, names: Names) -> dict[str, Quantity] | None:
        """Give the quantities that could be read."""
        texts = Pairs(Identifier(), _AsWritten()).read(node, names) or {}
        read = {name: _limit(name, text, names) for name, text in texts.items()}
        return {name: amount for name, amount in read.items() if amount is not None}


class _Rated:
    """The ratings on the nameplate."""

    def read(self, node: Node, names: Names) -> dict[str, Quantity] | None:
        """Give the quantities by the names that rules use, such as ``rated-speed``."""
        keys = {name.removeprefix("rated-"): Key(_AsWritten()) for name in RATED}
        row = Table("the ratings", keys).read(node, names) or {}
        read = {f"rated-{key}": _in_unit(text, RATED[f"rated-{key}"], names) for key, text in row.items()}
        return {name: amount for name, amount in read.items() if amount is not None}


class _AsWritten:
    """Text kept with its place."""

    def read(self, node: Node, names: Names) -> Text | None:
        """Give the node."""
        return is_text(node, names)


class _Units:
    """Preferred units by dimension."""

    def read(self, node: Node, names: Names) -> dict[str, str] | None:
        """Give the units that can show their dimension."""
        texts = Pairs(Prose(short=True), _AsWritten()).read(node, names) or {}
        return {name: text.text for name, text in texts.items() if _shows(name, text, names)}


MACHINE = Table(
    "a machine",
    {
        "machine": Key(Identifier(machine=True), needed=True),
        "title": Key(Prose()),
        "drives": Key(
            Table(
                "what a machine drives",
                {"kind": Key(Prose(short=True), needed=True), "service": Key(Prose(short=True))},
            ),
            needed=True,
        ),
        "features": Key(Several(Name("feature")), needed=True),
        "governor-class": Key(Word(("A", "B", "C", "D"))),
        "rated": Key(_Rated()),
        "limits": Key(_Limits()),
        "normal": Key(Pairs(Name("finding"), _AsWritten())),
        "shares": Key(Table("what is shared", {key: Key(Prose(short=True)) for key in SHARES})),
        "procedures": Key(Pairs(Prose(short=True), Prose(short=True))),
        "instruments": Key(Pairs(Name("finding"), _AsWritten())),
        "rounds": Key(Rounds()),
    },
)
SITE = Table("a site", {"site": Key(Prose(), needed=True), "units": Key(_Units())})


def read_machine(node: Node, names: Names) -> Machine | None:
    """Read one machine's profile; None when it has no id."""
    row = MACHINE.read(node, names) or {}
    name: str = row.get("machine", "")
    if not name or not isinstance(node, Mapping):
        return None
    drives = row.get("drives", {})
    normal, words = _normal(row.get("normal", {}), names)
    governor_class: str = row.get("governor-class", "")
    return Machine(
        id=name,
        title=row.get("title", name),
        drives_kind=drives.get("kind", ""),
        drives_service=drives.get("service", ""),
        features=frozenset(row.get("features", ())) | _follows(drives.get("kind", "")) | _class_feature(governor_class),
        governor_class=governor_class,
        values=MappingProxyType({**row.get("rated", {}), **row.get("limits", {}), **normal}),
        normal_words=MappingProxyType(words),
        shares=MappingProxyType({SHARES[key]: name for key, name in row.get("shares", {}).items()}),
        procedures=MappingProxyType(row.get("procedures", {})),
        place=node.keys["machine"],
        rounds=row.get("rounds"),
        instruments=MappingProxyType(read_instruments(row.get("instruments", {}), names)),
    )


def _class_feature(governor_class: str) -> frozenset[str]:
    """Give the feature by which rules know the class of the governor."""
    return frozenset({f"governor-class-{governor_class.lower()}"} if governor_class else ())


def read_site(node: Node | None, machines: Iterable[Machine], names: Names) -> Site:
    """Join the site's own file with its machines; two machines with one id are a fault."""
    row = (SITE.read(node, names) if node else None) or {}
    by_id: dict[str, Machine] = {}
    for machine in machines:
        first = by_id.setdefault(machine.id, machine)
        if first is not machine:
            says = f"The machine '{one_line(machine.id)}' is defined twice; the first is at {first.place}."
            names.report(machine.place, "duplicate-id", says, "Rename one of them.")
    return Site(row.get("site", ""), MappingProxyType(row.get("units", {})), MappingProxyType(by_id))


def _follows(kind: str) -> frozenset[str]:
    """Give the features that follow from the kind driven: ``centrifugal pump`` gives ``drives-pump``."""
    return frozenset(feature for word, feature in _DRIVES.items() if word in kind.lower())


def _limit(name: str, text: Text, names: Names) -> Quantity | None:
    unit = names.limit_units.get(name)
    if unit:
        return _in_unit(text, unit, names)
    try:
        amount = quantity.read_any(text.text)
    except QuantityError as error:
        names.report(text.place, "wrong-quantity", error.says, error.mend)
        return None
    if amount.unit == "bar" and "difference" not in text.text and "diff" not in name:
        says = f"'{one_line(text.text)}' does not say gauge, absolute or difference."
        names.report(text.place, "wrong-quantity", says, "Write 'bar gauge', 'bar absolute' or 'bar difference'.")
    return amount


def _in_unit(text: Text, unit: str, names: Names) -> Quantity | None:
    try:
        return quantity.read(text.text, unit, strict=True)
    except QuantityError as error:
        names.report(text.place, "wrong-quantity", error.says, error.mend)
        return None


def _normal(texts: dict[str, Text], names: Names) -> tuple[dict[str, Quantity], dict[str, str]]:
    """Part the machine's normals into quantities by ``normal-<reading>`` and words by finding."""
    amounts: dict[str, Quantity] = {}
    words: dict[str, str] = {}
    for name, text in texts.items():
        finding = names.findings.get(name)
        if finding is None or finding.reading is None:
            words[name] = " ".join(text.text.split())
            continue
        amount = _in_unit(text, finding.reading.unit, names)
        if amount is not None:
            amounts[f"normal-{name}"] = amount
            _check_plausible(text, amount, finding.reading.plausible, names)
    return amounts, words


def _check_plausible(text: Text, amount: Quantity, plausible: tuple[float, float], names: Names) -> None:
    if not plausible[0] <= amount.value <= plausible[1]:
        span = f"{plausible[0]:g} to {plausible[1]:g} {amount.unit}"
        says = f"{one_line(text.text)} is outside what this reading can show ({span})."
        names.report(text.place, "impossible-value", says)


def _shows(dimension: str, text: Text, names: Names) -> bool:
    try:
        quantity.check_preferred(text.text, dimension)
    except QuantityError as error:
        names.report(text.place, "wrong-unit", error.says, error.mend)
        return False
    return True
