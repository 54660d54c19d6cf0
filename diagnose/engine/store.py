"""Every fact the rules or the teller have named, and the buckets by which the standing ones are found."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence

    from .facts import Fact
    from .supports import Activation, Gate

    Index: TypeAlias = dict[tuple[Hashable, Hashable], "Bucket"]

__all__ = ["Bucket", "Held", "Record", "Store", "held", "held_with", "held_without"]

Held: TypeAlias = "Activation | dict[Activation, None] | None"
"""Any number of firings in order; most facts have one, and a dictionary for each would cost more than all else."""


def held(firings: Held) -> Iterable[Activation]:
    """Return the firings one by one."""
    if type(firings) is dict:
        return firings
    return () if firings is None else (firings,)  # type: ignore[return-value]


def held_with(firings: Held, firing: Activation) -> Held:
    """Return the firings with one more, or with one that was there already."""
    if firings is None or firings is firing:
        return firing
    if type(firings) is not dict:
        firings = {firings: None}  # type: ignore[dict-item]
    firings[firing] = None
    return firings


def held_without(firings: Held, firing: Activation) -> Held:
    """Return the firings without one, which need not be there."""
    if type(firings) is not dict:
        return None if firings is firing else firings
    firings.pop(firing, None)
    return firings or None


class Bucket(dict["Record", None]):
    """The standing facts that share something, in the order in which they came to stand."""

    __slots__ = ("kept",)  # whether it stays in its index when it is empty

    def __init__(self) -> None:
        self.kept = False


class Record:
    """All that is known about one fact, standing or not."""

    __slots__ = (
        "alike",
        "entity",
        "fact",
        "gates",
        "home",
        "kin",
        "patterns",
        "pinned",
        "standing",
        "supports",
        "told",
        "uses",
        "value",
    )

    def __init__(self, fact: Fact) -> None:
        self.fact = fact
        self.entity, _, self.value = fact
        self.standing = False
        self.told = False
        self.pinned = False  # rules without variables point at it, so it stays when the fact goes
        self.supports: Held = None  # the firings that conclude it
        self.uses: Held = None  # the firings of joined rules that rest on it
        self.gates: Sequence[Gate] = ()  # of rules without variables
        self.patterns: tuple[Any, ...] = ()  # of rules with variables
        self.home: Bucket  # where it goes when it stands: with those of its entity and attribute,
        self.alike: Bucket | None = None  # with those of its attribute and value,
        self.kin: Bucket | None = None  # and with all those of its attribute


class Store:
    """Facts by themselves, by entity and attribute, and, where joins need it, by value or by attribute alone."""

    def __init__(self) -> None:
        self.records: dict[Fact, Record] = {}
        self.standing = Bucket()
        self.homes: Index = {}  # (entity, attribute)
        self.by_value: Index = {}  # (attribute, value)
        self.by_attribute: dict[Hashable, Bucket] = {}
        self.on_new: list[Callable[[Record], None]] = []  # who has a say when a fact is first named
        self._by_value_of: set[Hashable] = set()

    def record(self, fact: Fact) -> Record:
        """Return the record of a fact, a new one if it was never named before."""
        found = self.records.get(fact)
        return self._new(fact) if found is None else found

    def pin(self, fact: Fact) -> Record:
        """Return the record of a fact that is to be kept whether it stands or not."""
        record = self.record(fact)
        record.pinned = True
        record.home.kept = True
        if record.alike is not None:
            record.alike.kept = True
        return record

    def index_values(self, attribute: Hashable) -> None:
        """Keep the facts of this attribute findable by value, from now on."""
        if attribute not in self._by_value_of:
            self._by_value_of.add(attribute)
            for record in self._of_attribute(attribute):
                record.alike = _bucket(self.by_value, (attribute, record.value))
                record.alike.kept = record.alike.kept or record.pinned
                if record.standing:
                    record.alike[record] = None

    def index_attribute(self, attribute: Hashable) -> None:
        """Keep the facts of this attribute findable by it alone, from now on."""
        if attribute not in self.by_attribute:
            bucket = self.by_attribute[attribute] = Bucket()
            for record in self._of_attribute(attribute):
                record.kin = bucket
                if record.standing:
                    bucket[record] = None

    def forget(self, record: Record) -> None:
        """Drop a fact that neither stands nor is pinned, with the buckets that only it needed."""
        entity, attribute, value = record.fact
        del self.records[record.fact]
        for index, key in ((self.homes, (entity, attribute)), (self.by_value, (attribute, value))):
            bucket = index.get(key)
            if bucket is not None and not bucket and not bucket.kept:
                del index[key]

    def found(self, entity: Hashable, attribute: Hashable) -> Bucket | tuple[()]:
        """Return the standing records with this entity and attribute."""
        return self.homes.get((entity, attribute), ())

    def _new(self, fact: Fact) -> Record:
        record = self.records[fact] = Record(fact)
        entity, attribute, value = fact
        record.home = self.homes.get((entity, attribute)) or _bucket(self.homes, (entity, attribute))
        if attribute in self._by_value_of:
            record.alike = self.by_value.get((attribute, value)) or _bucket(self.by_value, (attribute, value))
        record.kin = self.by_attribute.get(attribute)
        for told in self.on_new:
            told(record)
        return record

    def _of_attribute(self, attribute: Hashable) -> Iterator[Record]:
        return (record for record in self.records.values() if record.fact.attribute == attribute)


def _bucket(index: Index, key: tuple[Hashable, Hashable]) -> Bucket:
    bucket = index.get(key)
    if bucket is None:
        bucket = index[key] = Bucket()
    return bucket
