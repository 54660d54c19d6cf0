"""Rules with variables: joins compiled once, run from whatever fact is new, and found by hash.

The values of a rule's variables and constants stand in a list of slots. From each pattern of the rule leads a run of steps that
starts at a fact which fits it and looks the others up; every full match is offered to the agenda once. What is not a plain match
or comparison is judged by the matcher when all matches are made.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from heapq import heappush
from typing import TYPE_CHECKING, Any, TypeAlias

from .conditions import Condition, Guard, Leaf, Match, Unknown, binds, leaves
from .facts import Fact, Test, Var
from .match import Matcher, eagerness
from .supports import Activation

if TYPE_CHECKING:
    from .agenda import Agenda, Layer
    from .rules import Rule
    from .store import Record, Store
    from .supports import Supports

__all__ = ["Join", "Joined", "Patterns"]

Slots: TypeAlias = list[Any]
Step: TypeAlias = Callable[[Slots, list[Any]], None]

_ANY = Var("")


class Joined(Activation):
    """A joined rule with one full match."""

    __slots__ = ("heads", "key", "owner", "premises", "values")

    def __init__(self, owner: Join, key: Hashable, values: Slots, premises: list[Record]) -> None:
        self.owner, self.key, self.values, self.premises = owner, key, values, premises
        self.heads: tuple[Record, ...] = ()

    @property
    def rule(self) -> Rule:
        """The rule that matched."""
        return self.owner.rule

    @property
    def layer(self) -> Layer:
        """The layer of the rule."""
        return self.owner.layer

    @property
    def place(self) -> int:
        """The place of the rule on the agenda."""
        return self.owner.place

    @property
    def recursive(self) -> bool:
        """Whether the rule can lead back to itself."""
        return self.owner.recursive

    @property
    def binding(self) -> Mapping[str, Hashable]:
        """What the rule's variables stand for."""
        return {name: self.values[slot] for name, slot in self.owner.names.items()}

    def holds(self) -> bool:
        """Say whether the premises stand and all else is as the rule asks."""
        return all(premise.standing for premise in self.premises) and self.owner.judge(self.binding)


class Pattern:
    """A match on the rule's own level: a premise of the rule's every activation."""

    def __init__(self, owner: Join, number: int, condition: Match) -> None:
        self.owner, self.number, self.condition = owner, number, condition
        self.entity = owner.slot(condition.entity)
        self.value = owner.slot(condition.value)
        self.run: Step = owner.matched

    def came(self, record: Record) -> None:
        """Have the new fact joined when the rule's layer is reached."""
        self.owner.agenda.arrive(self.owner.layer, self, record)

    def went(self, record: Record) -> None:
        """Do nothing: the activations that rest on the fact are found from it."""

    def match(self, record: Record) -> None:
        """Join a new fact with all others."""
        if record.standing:
            slots = self.owner.template.copy()
            slots[self.entity], slots[self.value] = record.entity, record.value
            matched: list[Any] = [None] * len(self.owner.patterns)
            matched[self.number] = record
            self.run(slots, matched)


class Nested:
    """A pattern inside an absence, an alternative or a count: its facts may make or unmake activations that they share values with."""

    def __init__(self, owner: Join, leaf: Leaf) -> None:
        self.owner, self.condition = owner, leaf.pattern
        self._rising, self._falling = leaf.rising, leaf.falling
        parts = (leaf.pattern.entity, leaf.pattern.value if isinstance(leaf.pattern, Match) else None)
        shared = [
            (at, part.name) for at, part in enumerate(parts) if isinstance(part, Var) and part.name in owner.names
        ]
        self._parts = [(0, 2)[at] for at, _ in shared]  # of the fact
        self._slots = [owner.names[name] for _, name in shared]
        self._watching: dict[tuple[Hashable, ...], dict[Joined, None]] = {}
        self._run = owner.steps(owner.plain, {name for _, name in shared})

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
        for part, slot in zip(self._parts, self._slots, strict=True):
            slots[slot] = record.fact[part]
        self._run(slots, [None] * len(self.owner.patterns))

    def _key(self, activation: Joined) -> tuple[Hashable, ...]:
        return tuple(activation.values[slot] for slot in self._slots)

    def _changed(self, record: Record, *, unmakes: bool, makes: bool) -> None:
        if unmakes:
            for activation in self._watching.get(tuple(record.fact[part] for part in self._parts), ()):
                self.owner.agenda.break_(activation)
        if makes:
            self.owner.agenda.arrive(self.owner.layer, self, record)


class Join:
    """One rule with variables: its patterns, the matches that wait to fire and those in force."""

    def __init__(
        self, rule: Rule, layer: Layer, place: int, *, recursive: bool, agenda: Agenda, supports: Supports
    ) -> None:
        self.rule, self.layer, self.place, self.recursive = rule, layer, place, recursive
        self.agenda, self.supports, self.store = agenda, supports, supports.store
        self.template: Slots = []
        self.names: dict[str, int] = {}  # the slot of each variable
        self._waiting: dict[Hashable, None] = {}
        self._queue: deque[Joined] = deque()
        self._active: dict[Hashable, Joined] = {}
        self._matcher = Matcher(self.store)
        self._lay_out()

    def _lay_out(self) -> None:
        conditions = self.rule.conditions
        matches = [each for each in conditions if isinstance(each, Match)]
        for match in matches:
            self.store.index(match.attribute)
        self.patterns: list[Pattern] = []
        for number, match in enumerate(matches):
            self.patterns.append(Pattern(self, number, match))
        by_matches = set(self.names)
        self._exports = [self.slot(Var(name)) for each in conditions for name in sorted(binds(each) - set(self.names))]
        guards = [each for each in conditions if isinstance(each, Guard) and _sides(each) <= by_matches]
        self.plain: list[Pattern | Guard] = [*self.patterns, *guards]
        self._judged = tuple(each for each in conditions if not isinstance(each, Match) and each not in guards)
        self._heads = [(self.slot(head.entity), head.attribute, self.slot(head.value)) for head in self.rule.then]
        for pattern in self.patterns:
            pattern.run = self.steps([each for each in self.plain if each is not pattern], binds(pattern.condition))
        self.nested = [Nested(self, leaf) for leaf in leaves(self._judged)]

    def slot(self, part: Hashable) -> int:
        """Return the slot of a variable, the same for the same name, or a new one for a constant or a test."""
        if isinstance(part, Var) and part.name in self.names:
            return self.names[part.name]
        self.template.append(None if isinstance(part, (Var, Test)) else part)
        if isinstance(part, Var):
            self.names[part.name] = len(self.template) - 1
        return len(self.template) - 1

    def steps(self, parts: Iterable[Pattern | Guard], bound: set[str]) -> Step:
        """Compile the way from what is bound to full matches."""
        step: Step = self._judge_step if self._judged else self.matched
        for part, known in reversed(_ordered(parts, bound)):
            if isinstance(part, Guard):
                step = self._guard_step(part, step)
            else:
                step = _match_step(self.store, part, known, step)
        return step

    def start(self) -> None:
        """Look once for matches with no facts at all; only a rule without patterns can have one."""
        if not self.patterns:
            self.steps((), set())(self.template.copy(), [])

    def judge(self, binding: Mapping[str, Hashable]) -> bool:
        """Say whether all that is not a plain match or comparison is as the rule asks."""
        return not self._judged or self._matcher.first(self._judged, binding) is not None

    def matched(self, slots: Slots, matched: list[Record]) -> None:
        """Offer a full match unless it is in force or waits already."""
        key: Hashable = tuple(matched)
        if self._exports:
            key = (key, tuple(slots[slot] for slot in self._exports))
        if key not in self._active and key not in self._waiting:
            self.offer(Joined(self, key, slots.copy(), matched.copy()))

    def offer(self, activation: Joined) -> None:
        """Put an activation on the agenda."""
        if not self._queue:
            heappush(self.agenda.heap, self.place)
        self._waiting[activation.key] = None
        self._queue.append(activation)

    def __call__(self) -> None:
        """Fire the activation that has waited longest; one that was taken back before must still hold."""
        activation = self._queue.popleft()
        del self._waiting[activation.key]
        if self._queue:
            heappush(self.agenda.heap, self.place)
        if not activation.heads or activation.holds():
            self._fire(activation)

    def _fire(self, activation: Joined) -> None:
        values = activation.values
        records = [
            self.store.record(Fact(values[entity], attribute, values[value]))
            for entity, attribute, value in self._heads
        ]
        activation.heads = tuple(dict.fromkeys(records))
        self._active[activation.key] = activation
        for premise in activation.premises:
            premise.uses[activation] = None
        for nested in self.nested:
            nested.watch(activation)
        self.supports.fire(activation)

    def release(self, activation: Joined) -> None:
        """Forget an activation that is taken back."""
        del self._active[activation.key]
        for premise in activation.premises:
            premise.uses.pop(activation, None)
        for nested in self.nested:
            nested.unwatch(activation)

    def _judge_step(self, slots: Slots, matched: list[Record]) -> None:
        known = {name: slots[slot] for name, slot in self.names.items() if slot not in self._exports}
        if not self._exports:
            if self.judge(known):
                self.matched(slots, matched)
            return
        for binding, _ in self._matcher.solutions(self._judged, known):
            for name, slot in self.names.items():
                slots[slot] = binding[name]
            self.matched(slots, matched)

    def _guard_step(self, guard: Guard, then: Step) -> Step:
        left, right = self.slot(guard.left), self.slot(guard.right)
        holds = guard.holds

        def step(slots: Slots, matched: list[Record]) -> None:
            if holds(slots[left], slots[right]):
                then(slots, matched)

        return step


def _sides(guard: Guard) -> set[str]:
    return {side.name for side in (guard.left, guard.right) if isinstance(side, Var)}


def _ordered(parts: Iterable[Pattern | Guard], bound: set[str]) -> list[tuple[Pattern | Guard, set[str]]]:
    """Put the parts in the order in which to look them up, each with the variables known before it."""
    todo, order, known = list(parts), [], set(bound)
    while todo:
        part = min(todo, key=lambda each: eagerness(_condition(each), known))
        todo.remove(part)
        order.append((part, set(known)))
        known |= binds(_condition(part))
    return order


def _condition(part: Pattern | Guard) -> Condition:
    return part if isinstance(part, Guard) else part.condition


def _is_known(part: Hashable, known: set[str]) -> bool:
    return part.name in known if isinstance(part, Var) else not isinstance(part, Test)


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
    find, test = store.homes.get, pattern.condition.value

    def step(slots: Slots, matched: list[Record]) -> None:
        for record in find((slots[entity], attribute), ()):
            if not isinstance(test, Test) or test.passes(record.value):
                slots[value] = record.value
                matched[number] = record
                then(slots, matched)

    return step


def _by_value_step(store: Store, pattern: Pattern, then: Step) -> Step:
    entity, attribute, value, number = pattern.entity, pattern.condition.attribute, pattern.value, pattern.number
    find = store.by_value.get

    def step(slots: Slots, matched: list[Record]) -> None:
        for record in find((attribute, slots[value]), ()):
            slots[entity] = record.entity
            matched[number] = record
            then(slots, matched)

    return step


def _free_step(store: Store, pattern: Pattern, then: Step) -> Step:
    entity, value, number = pattern.entity, pattern.value, pattern.number
    find, key, fits = store.by_attribute.get, (pattern.condition.attribute,), pattern.condition

    def step(slots: Slots, matched: list[Record]) -> None:
        for record in find(key, ()):
            if _inside_fits(fits, record):
                slots[entity], slots[value] = record.entity, record.value
                matched[number] = record
                then(slots, matched)

    return step


def _inside_fits(condition: Match | Unknown, record: Record) -> bool:
    """Say whether a record passes what the pattern asks by itself, whatever its variables stand for."""
    value = condition.value if isinstance(condition, Match) else _ANY
    if isinstance(value, Test):
        return value.passes(record.value)
    return not (isinstance(value, Var) and value == condition.entity) or record.entity == record.value


class Patterns:
    """Ties each fact to the patterns that it fits, when it is first named."""

    def __init__(self, joins: Sequence[Join], store: Store) -> None:
        self._patterns: dict[Hashable, list[Pattern | Nested]] = {}
        self._attributes: set[Hashable] = set()
        for join in joins:
            for pattern in (*join.patterns, *join.nested):
                self._add(pattern)
        for record in store.records.values():
            self._tie(record)
        store.on_new.append(self._tie)

    def _add(self, pattern: Pattern | Nested) -> None:
        condition = pattern.condition
        value = condition.value if isinstance(condition, Match) else _ANY
        key = (
            _ANY if isinstance(condition.entity, Var) else condition.entity,
            condition.attribute,
            _ANY if isinstance(value, (Var, Test)) else value,
        )
        self._patterns.setdefault(key, []).append(pattern)
        self._attributes.add(condition.attribute)

    def _tie(self, record: Record) -> None:
        entity, attribute, value = record.fact
        if attribute in self._attributes:
            record.patterns = tuple(
                pattern
                for key in (
                    (entity, attribute, value),
                    (entity, attribute, _ANY),
                    (_ANY, attribute, value),
                    (_ANY, attribute, _ANY),
                )
                for pattern in self._patterns.get(key, ())
                if _inside_fits(pattern.condition, record)
            )
