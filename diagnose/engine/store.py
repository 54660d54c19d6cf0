"""Every fact the rules or the teller have named, and the buckets by which the standing ones are found."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

    from .facts import Fact
    from .supports import Activation

__all__ = ["Bucket", "Record", "Store"]

Key = tuple[Hashable, ...]


class Bucket(dict["Record", None]):
    """The standing facts that share something, in the order in which they came to stand."""

    __slots__ = ("holders",)

    def __init__(self) -> None:
        self.holders = 0  # how many records go into it when they stand; at none it is dropped


class Record:
    """All that is known about one fact, standing or not."""

    __slots__ = (
        "buckets",
        "entity",
        "fact",
        "gates",
        "keys",
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
        self.supports: dict[Activation, None] = {}  # the firings that conclude it
        self.uses: dict[Activation, None] = {}  # the firings of joined rules that rest on it
        self.gates: list[Any] = []  # of rules without variables
        self.patterns: tuple[Any, ...] = ()  # of rules with variables
        self.keys: list[tuple[dict[Any, Bucket], Key]] = []
        self.buckets: list[Bucket] = []


class Store:
    """Facts by themselves, by entity and attribute, and (for attributes that joins need) by value and by attribute."""

    def __init__(self) -> None:
        self.records: dict[Fact, Record] = {}
        self.standing = Bucket()
        self.homes: dict[Key, Bucket] = {}  # (entity, attribute)
        self.by_value: dict[Key, Bucket] = {}  # (attribute, value)
        self.by_attribute: dict[Key, Bucket] = {}  # (attribute,)
        self._indexed: set[Hashable] = set()
        self.on_new: list[Callable[[Record], None]] = []  # who has a say when a fact is first named

    def record(self, fact: Fact) -> Record:
        """Return the record of a fact, a new one if it was never named before."""
        found = self.records.get(fact)
        return self._new(fact) if found is None else found

    def index(self, attribute: Hashable) -> None:
        """Keep the facts of this attribute findable by value and by attribute alone, from now on."""
        if attribute in self._indexed:
            return
        self._indexed.add(attribute)
        for record in self.records.values():
            if record.fact.attribute == attribute:
                self._enter_index(record)

    def forget(self, record: Record) -> None:
        """Drop a fact that neither stands nor is named by a rule, with the buckets that only it needed."""
        if record.standing or record.pinned:
            return
        del self.records[record.fact]
        for index, key in record.keys:
            bucket = index[key]
            bucket.holders -= 1
            if not bucket.holders:
                del index[key]

    def found(self, entity: Hashable, attribute: Hashable) -> Bucket | tuple[()]:
        """Return the standing records with this entity and attribute."""
        return self.homes.get((entity, attribute), ())

    def facts(self) -> Iterator[Fact]:
        """Yield the standing facts, the first to stand first."""
        return (record.fact for record in self.standing)

    def _new(self, fact: Fact) -> Record:
        record = self.records[fact] = Record(fact)
        record.buckets.append(self.standing)
        self._enter(record, self.homes, (fact.entity, fact.attribute))
        if fact.attribute in self._indexed:
            self._enter_index(record)
        for told in self.on_new:
            told(record)
        return record

    def _enter_index(self, record: Record) -> None:
        self._enter(record, self.by_value, (record.fact.attribute, record.value))
        self._enter(record, self.by_attribute, (record.fact.attribute,))

    @staticmethod
    def _enter(record: Record, index: dict[Any, Bucket], key: Key) -> None:
        bucket = index.get(key)
        if bucket is None:
            bucket = index[key] = Bucket()
        bucket.holders += 1
        record.keys.append((index, key))
        record.buckets.append(bucket)
        if record.standing:
            bucket[record] = None
