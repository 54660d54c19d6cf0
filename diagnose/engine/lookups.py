"""Looking up, from what is known of a full match, the facts that complete it.

The values of a rule's variables and constants stand in a list of slots, the facts matched so far in another list. Each
step fills in one fact, found by hash, and runs the next step; it does so for every fact there is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeAlias

from .conditions import Condition, Guard, Match, Unknown, binds
from .facts import Test, Var
from .match import BY_BUCKET, eagerness

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable

    from .patterns import Pattern
    from .store import Record, Store

    Slots: TypeAlias = list[Any]
    Step: TypeAlias = Callable[[Slots, list[Any]], None]

__all__ = ["Lookups", "fits_by_itself"]


class Lookups:
    """Compiles the ways through the patterns and guards of one rule; each ends in ``finish``."""

    def __init__(self, store: Store, slot: Callable[[Hashable], int], finish: Step) -> None:
        self._store, self._slot, self._finish = store, slot, finish

    def way(self, parts: Iterable[Pattern | Guard], bound: set[str]) -> Step:
        """Compile the way from what is bound to full matches: what narrows most is looked up first."""
        parts = list(parts)
        if not parts:
            return self._finish
        rank = {part: eagerness(_condition(part), bound) for part in parts}
        best = [part for part in parts if rank[part] == min(rank.values())]
        if len(best) > 1 and rank[best[0]] >= BY_BUCKET:
            patterns = [part for part in best if not isinstance(part, Guard)]
            return self._smallest_step(patterns, parts, bound)
        return self._step(best[0], parts, bound)

    def _step(self, part: Pattern | Guard, parts: list[Pattern | Guard], bound: set[str]) -> Step:
        rest = self.way([each for each in parts if each is not part], bound | binds(_condition(part)))
        if isinstance(part, Guard):
            return self._guard_step(part, rest)
        return _match_step(self._store, part, bound, rest)

    def _smallest_step(self, best: list[Pattern], parts: list[Pattern | Guard], bound: set[str]) -> Step:
        """Go on, each time, with the pattern that fewest facts fit; each way is compiled when it is first taken."""
        sizes = [_size(self._store, part, bound) for part in best]
        ways: list[Step | None] = [None] * len(best)

        def step(slots: Slots, matched: list[Record]) -> None:
            found = [size(slots) for size in sizes]
            at = found.index(min(found))
            way = ways[at]
            if way is None:
                way = ways[at] = self._step(best[at], parts, bound)
            way(slots, matched)

        return step

    def _guard_step(self, guard: Guard, then: Step) -> Step:
        left, right = self._slot(guard.left), self._slot(guard.right)
        holds = guard.holds

        def step(slots: Slots, matched: list[Record]) -> None:
            if holds(slots[left], slots[right]):
                then(slots, matched)

        return step


def _condition(part: Pattern | Guard) -> Condition:
    return part if isinstance(part, Guard) else part.condition


def _is_known(part: Hashable, known: set[str]) -> bool:
    return part.name in known if isinstance(part, Var) else not isinstance(part, Test)


def _size(store: Store, pattern: Pattern, known: set[str]) -> Callable[[Slots], int]:
    """Return how to tell how many facts a pattern with an open entity has to go through."""
    attribute, value = pattern.condition.attribute, pattern.value
    if not _is_known(pattern.condition.value, known):
        store.index_attribute(attribute)
        return lambda _: len(store.by_attribute[attribute])
    store.index_values(attribute)
    return lambda slots: len(store.by_value.get((attribute, slots[value]), ()))


def _match_step(store: Store, pattern: Pattern, known: set[str], then: Step) -> Step:
    condition = pattern.condition
    entity_known, value_known = _is_known(condition.entity, known), _is_known(condition.value, known)
    if entity_known and value_known:
        return _full_step(store, pattern, then)
    if entity_known:
        return _by_entity_step(store, pattern, then)
    if value_known:
        return _by_value_step(store, pattern, then)
    return _free_step(store, pattern, then)


def _full_step(store: Store, pattern: Pattern, then: Step) -> Step:
    entity, attribute, value, number = pattern.entity, pattern.condition.attribute, pattern.value, pattern.number
    find: Any = store.records.get

    def step(slots: Slots, matched: list[Record]) -> None:
        record = find((slots[entity], attribute, slots[value]))
        if record is not None and record.standing:
            matched[number] = record
            then(slots, matched)

    return step


def _by_entity_step(store: Store, pattern: Pattern, then: Step) -> Step:
    entity, attribute, value, number = pattern.entity, pattern.condition.attribute, pattern.value, pattern.number
    find, asked = store.homes.get, pattern.condition.value
    passes = asked.passes if isinstance(asked, Test) else None

    def step(slots: Slots, matched: list[Record]) -> None:
        for record in find((slots[entity], attribute), ()):
            if passes is None or passes(record.value):
                slots[value] = record.value
                matched[number] = record
                then(slots, matched)

    return step


def _by_value_step(store: Store, pattern: Pattern, then: Step) -> Step:
    entity, attribute, value, number = pattern.entity, pattern.condition.attribute, pattern.value, pattern.number
    store.index_values(attribute)
    find = store.by_value.get

    def step(slots: Slots, matched: list[Record]) -> None:
        for record in find((attribute, slots[value]), ()):
            slots[entity] = record.entity
            matched[number] = record
            then(slots, matched)

    return step


def _free_step(store: Store, pattern: Pattern, then: Step) -> Step:
    entity, value, number = pattern.entity, pattern.value, pattern.number
    store.index_attribute(pattern.condition.attribute)
    bucket, condition = store.by_attribute[pattern.condition.attribute], pattern.condition

    def step(slots: Slots, matched: list[Record]) -> None:
        for record in bucket:
            if fits_by_itself(condition, record):
                slots[entity], slots[value] = record.entity, record.value
                matched[number] = record
                then(slots, matched)

    return step


def fits_by_itself(condition: Match | Unknown, record: Record) -> bool:
    """Say whether a record passes what the pattern asks by itself, whatever its variables stand for."""
    if not isinstance(condition, Match):
        return True
    value = condition.value
    if isinstance(value, Test):
        return value.passes(record.value)
    return not (isinstance(value, Var) and value == condition.entity) or record.entity == record.value
