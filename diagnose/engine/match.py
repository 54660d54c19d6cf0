"""All the ways in which conditions hold: a search with a binding that grows.

This is the plain meaning of conditions. It answers queries, judges what is nested inside joined rules and finds proofs;
the joins of whole rules are compiled in ``lookups``.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from .conditions import AnyOf, Condition, Count, CountDistinct, Guard, Match, Not, Unknown, binds, conjuncts
from .facts import Fact, Test, Var

if TYPE_CHECKING:
    from .store import Record, Store

__all__ = ["BY_BUCKET", "Matcher", "eagerness"]

Binding = Mapping[str, Hashable]
Found = tuple[Binding, tuple["Record", ...]]

_GUARD, _FULL, _ENTITY, _VALUE, _FREE, _ALTERNATIVES, _JUDGED = range(7)

BY_BUCKET = _VALUE
"""From this eagerness on, how much there is to look through depends on the facts."""


def eagerness(condition: Condition, bound: Iterable[str]) -> int:
    """Rank a condition for doing next, lowest first: what costs least and narrows most, given what is bound."""
    if isinstance(condition, Match):
        entity_open = isinstance(condition.entity, Var) and condition.entity.name not in bound
        value_open = isinstance(condition.value, Test) or (
            isinstance(condition.value, Var) and condition.value.name not in bound
        )
        return (_FREE if value_open else _VALUE) if entity_open else (_ENTITY if value_open else _FULL)
    if isinstance(condition, Guard):
        sides = (condition.left, condition.right)
        return _GUARD if all(not isinstance(side, Var) or side.name in bound for side in sides) else _JUDGED + 1
    return _ALTERNATIVES if isinstance(condition, AnyOf) else _JUDGED


class Matcher:
    """Finds how conditions hold over the standing facts, or over those of them that ``allowed`` lets through.

    What is asked to be absent is always looked for among all standing facts.
    """

    def __init__(self, store: Store, allowed: Callable[[Record], bool] | None = None) -> None:
        self._store = store
        self._allowed = allowed
        self._all = self if allowed is None else Matcher(store)

    def solutions(self, conditions: Iterable[Condition], binding: Binding) -> Iterator[Found]:
        """Yield each binding with which all conditions hold, and the facts it rests on; a binding may come twice."""
        return self._solve(tuple(conjuncts(conditions)), binding, ())

    def first(self, conditions: Iterable[Condition], binding: Binding) -> Found | None:
        """Return one way in which the conditions hold, or None."""
        return next(self.solutions(conditions, binding), None)

    def _solve(self, todo: tuple[Condition, ...], binding: Binding, facts: tuple[Record, ...]) -> Iterator[Found]:
        if not todo:
            yield binding, facts
            return
        at = min(range(len(todo)), key=lambda i: eagerness(todo[i], binding)) if len(todo) > 1 else 0
        rest = todo[:at] + todo[at + 1 :]
        for wider, more in self._ways(todo[at], binding):
            yield from self._solve(rest, wider, facts + more)

    def _ways(self, condition: Condition, binding: Binding) -> Iterator[Found]:
        match condition:
            case Match():
                return self._fits(condition, binding)
            case AnyOf():
                return self._any(condition, binding)
            case Guard(left, _, right):
                holds = condition.holds(_value(left, binding), _value(right, binding))
            case Not(inner):
                holds = self._all.first(inner, binding) is None
            case Unknown(entity, attribute):
                holds = self._all.first((Match(entity, attribute, Var(" any")),), binding) is None
            case Count() | CountDistinct():
                return self._count(condition, binding)
            case _:
                raise TypeError(condition)
        return iter([(binding, ())] if holds else ())

    def _fits(self, pattern: Match, binding: Binding) -> Iterator[Found]:
        for record in self.candidates(pattern, binding):
            if self._allowed is None or self._allowed(record):
                wider = _unified(pattern, record, binding)
                if wider is not None:
                    yield wider, (record,)

    def candidates(self, pattern: Match, binding: Binding) -> Iterable[Record]:
        """Return standing records among which are all that fit the pattern."""
        entity, attribute, value = _value(pattern.entity, binding), pattern.attribute, _value(pattern.value, binding)
        value_open = isinstance(value, (Var, Test))
        if not isinstance(entity, Var):
            if value_open:
                return self._store.found(entity, attribute)
            record = self._store.records.get(Fact(entity, attribute, value))
            return (record,) if record is not None and record.standing else ()
        if value_open:
            self._store.index_attribute(attribute)
            return self._store.by_attribute[attribute]
        self._store.index_values(attribute)
        return self._store.by_value.get((attribute, value), ())

    def _any(self, condition: AnyOf, binding: Binding) -> Iterator[Found]:
        shown = binds(condition)
        for alternative in condition.conditions:
            for wider, facts in self.solutions((alternative,), binding):
                yield {**binding, **{name: wider[name] for name in shown}}, facts

    def _count(self, condition: Count | CountDistinct, binding: Binding) -> Iterator[Found]:
        ways = list(self.counted(condition, binding).values())
        high = condition.at_most
        if len(ways) < condition.at_least or (high is not None and len(self._all.counted(condition, binding)) > high):
            return iter(())
        return iter([(binding, tuple(record for facts in ways for record in facts))])

    def counted(self, condition: Count | CountDistinct, binding: Binding) -> dict[Hashable, tuple[Record, ...]]:
        """Return what counts, each with the facts by which it does."""
        counted: dict[Hashable, tuple[Record, ...]] = {}
        if isinstance(condition, CountDistinct):
            for wider, facts in self.solutions(condition.conditions, binding):
                counted.setdefault(wider[condition.var.name], facts)
            return counted
        for number, each in enumerate(condition.conditions):
            way = self.first((each,), binding)
            if way is not None:
                counted[number] = way[1]
        return counted


def _value(part: Hashable, binding: Binding) -> Hashable:
    return binding.get(part.name, part) if isinstance(part, Var) else part


def _unified(pattern: Match, record: Record, binding: Binding) -> Binding | None:
    """Return the binding with the pattern's variables given by the record, or None if it does not fit."""
    for part, value in ((pattern.entity, record.entity), (pattern.value, record.value)):
        if isinstance(part, Test):
            if not part.passes(value):
                return None
        elif not isinstance(part, Var):
            if part != value:
                return None
        elif part.name not in binding:
            binding = {**binding, part.name: value}
        elif binding[part.name] != value:
            return None
    return binding
