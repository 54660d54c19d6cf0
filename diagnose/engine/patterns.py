"""The patterns of rules with variables, and which of them each fact fits.

Values of entity and attribute are compared once, when a fact is first named; after that a fact knows its patterns.
"""

from __future__ import annotations

from collections import defaultdict
from heapq import heappush
from typing import TYPE_CHECKING, Any

from .conditions import Leaf, Match
from .facts import Test, Var
from .lookups import fits_by_itself

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable

    from .joins import Join, Joined
    from .lookups import Step
    from .store import Record, Store

__all__ = ["Nested", "Pattern", "Patterns"]

_ANY = Var("")


class Pattern:
    """A match on the rule's own level: a premise of the rule's every activation."""

    def __init__(self, owner: Join, number: int, condition: Match) -> None:
        self.owner, self.number, self.condition = owner, number, condition
        self.entity = owner.slot(condition.entity)
        self.value = owner.slot(condition.value)
        self.run: Step = owner.matched
        self._heap, self._layer, self._template = owner.agenda.heap, owner.layer, owner.template
        self._width = owner.width

    def came(self, record: Record) -> None:
        """Have the new fact joined when the rule's layer is reached."""
        layer = self._layer  # what Agenda.arrive does, without the call: every fact of every join comes by here
        if not layer.arrived:
            heappush(self._heap, layer.match_at)
        layer.arrived.append((self, record))

    def went(self, record: Record) -> None:
        """Do nothing: the activations that rest on the fact are found from it."""

    def match(self, record: Record) -> None:
        """Join a new fact with all others."""
        if record.standing:
            slots = self._template.copy()
            slots[self.entity] = record.entity
            slots[self.value] = record.value
            matched: list[Any] = [None] * self._width
            matched[self.number] = record
            self.run(slots, matched)


class Nested:
    """A pattern inside an absence, an alternative or a count.

    Its facts may make or unmake activations that they share values with.
    """

    def __init__(self, owner: Join, leaf: Leaf) -> None:
        self.owner, self.condition = owner, leaf.pattern
        self._rising, self._falling = leaf.rising, leaf.falling
        parts = (leaf.pattern.entity, leaf.pattern.value if isinstance(leaf.pattern, Match) else None)
        shared = [
            (at, part.name) for at, part in enumerate(parts) if isinstance(part, Var) and part.name in owner.names
        ]
        self._parts = [(0, 2)[at] for at, _ in shared]  # of the fact
        self._names = [name for _, name in shared]
        self._watching: dict[tuple[Hashable, ...], dict[Joined, None]] = {}
        self._run = owner.lookups.way(owner.plain, {name for _, name in shared})

    def watch(self, activation: Joined) -> None:
        """Look out for facts that could unmake this activation."""
        self._watching.setdefault(self._key(activation), {})[activation] = None

    def unwatch(self, activation: Joined) -> None:
        """Stop looking out for it."""
        key = self._key(activation)
        del self._watching[key][activation]
        if not self._watching[key]:
            del self._watching[key]

    def came(self, record: Record) -> None:
        """Have looked at what the new fact may unmake and make."""
        self._changed(record, unmakes=self._falling, makes=self._rising)

    def went(self, record: Record) -> None:
        """Have looked at what the loss of the fact may unmake and make."""
        self._changed(record, unmakes=self._rising, makes=self._falling)

    def match(self, record: Record) -> None:
        """Look for full matches that share values with the fact."""
        slots = self.owner.template.copy()
        for part, name in zip(self._parts, self._names, strict=True):
            slots[self.owner.names[name]] = record.fact[part]
        self._run(slots, [None] * self.owner.width)

    def _key(self, activation: Joined) -> tuple[Hashable, ...]:
        binding = activation.binding
        return tuple(binding[name] for name in self._names)

    def _changed(self, record: Record, *, unmakes: bool, makes: bool) -> None:
        if unmakes:
            for activation in self._watching.get(tuple(record.fact[part] for part in self._parts), ()):
                self.owner.agenda.break_(activation)
        if makes:
            self.owner.agenda.arrive(self.owner.layer, self, record)


class _OfAttribute:
    """The patterns on one attribute, by what each fixes of entity and value."""

    def __init__(self) -> None:
        self._fixed: dict[tuple[bool, bool], dict[Hashable, tuple[Pattern | Nested, ...]]] = {}
        self._open: tuple[Pattern | Nested, ...] = ()
        self._plain = True  # no pattern asks more than equality of fixed parts
        self.always: tuple[Pattern | Nested, ...] = ()  # all the patterns, if every fact fits them all

    def add(self, pattern: Pattern | Nested) -> None:
        condition = pattern.condition
        value = condition.value if isinstance(condition, Match) else _ANY
        self._plain = self._plain and not isinstance(value, Test) and (value != condition.entity or value == _ANY)
        fixes = (not isinstance(condition.entity, Var), not isinstance(value, (Var, Test)))
        if fixes == (False, False):
            self._open += (pattern,)
        else:
            patterns = self._fixed.setdefault(fixes, {})
            key = _key(fixes, condition.entity, value)
            patterns[key] = (*patterns.get(key, ()), pattern)
        self.always = self._open if self._plain and not self._fixed else ()

    def fitting(self, record: Record) -> tuple[Pattern | Nested, ...]:
        found = self._open
        for fixes, patterns in self._fixed.items():
            found += patterns.get(_key(fixes, record.entity, record.value), ())
        return found if self._plain else tuple(each for each in found if fits_by_itself(each.condition, record))


def _key(fixes: tuple[bool, bool], entity: Hashable, value: Hashable) -> Hashable:
    if fixes == (True, True):
        return (entity, value)
    return entity if fixes[0] else value


class Patterns:
    """Ties each fact to the patterns that it fits, when it is first named."""

    def __init__(self, joins: Iterable[Join], store: Store) -> None:
        self._of: dict[Hashable, _OfAttribute] = defaultdict(_OfAttribute)
        for join in joins:
            patterns: list[Pattern | Nested] = [*join.patterns, *join.nested]
            for pattern in patterns:
                self._of[pattern.condition.attribute].add(pattern)
        for record in store.records.values():
            self._tie(record)
        store.on_new.append(self._tie)

    def _tie(self, record: Record) -> None:
        of_attribute = self._of.get(record.fact.attribute)
        if of_attribute is not None:
            record.patterns = of_attribute.always or of_attribute.fitting(record)
