"""Rules with variables: joins compiled once, run from whatever fact is new, and found by hash.

The values of a rule's variables and constants stand in a list of slots. From each pattern of the rule leads a run of steps that
starts at a fact which fits it and looks the others up; every full match is offered to the agenda once. What is not a plain match
or comparison is judged by the matcher when all matches are made.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from heapq import heappush
from typing import TYPE_CHECKING, Any, TypeAlias

from .conditions import Condition, Guard, Leaf, Match, Unknown, binds, leaves
from .facts import Fact, Test, Var
from .match import BY_BUCKET, Matcher, eagerness
from .store import held_with, held_without
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
_fact = tuple.__new__


class Joined(Activation):
    """A joined rule with one full match."""

    __slots__ = ("concluded", "heads", "key", "owner", "premises")

    def __init__(self, owner: Join, key: Hashable, premises: tuple[Record, ...], concluded: tuple[Fact, ...]) -> None:
        self.owner, self.key, self.premises, self.concluded = owner, key, premises, concluded
        self.heads: tuple[Record, ...] = ()  # of what is concluded, once it has fired

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
        return self.owner.binding(self)

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
        self._arrive, self._layer, self._template = owner.agenda.arrive, owner.layer, owner.template
        self._width = owner.width

    def came(self, record: Record) -> None:
        """Have the new fact joined when the rule's layer is reached."""
        self._arrive(self._layer, self, record)

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
    """A pattern inside an absence, an alternative or a count: its facts may make or unmake activations that they share values with."""

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


class Join:
    """One rule with variables: its patterns, the matches that wait to fire and those in force."""

    def __init__(
        self, rule: Rule, layer: Layer, place: int, *, recursive: bool, agenda: Agenda, supports: Supports
    ) -> None:
        self.rule, self.layer, self.place, self.recursive = rule, layer, place, recursive
        self.agenda, self.supports, self.store = agenda, supports, supports.store
        self.template: Slots = []
        self.names: dict[str, int] = {}  # the slot of each variable
        self._matches: dict[Hashable, Joined] = {}  # in force, or in the queue to fire
        self._queue: deque[Joined] = deque()
        self._matcher = Matcher(self.store)
        self._lay_out()

    def _lay_out(self) -> None:
        conditions = self.rule.conditions
        matches = [each for each in conditions if isinstance(each, Match)]
        self.width = len(matches)
        self.patterns: list[Pattern] = []
        for number, match in enumerate(matches):
            self.patterns.append(Pattern(self, number, match))
        by_matches = set(self.names)
        self._exported = sorted(set().union(*map(binds, conditions)) - by_matches)
        self._exports = [self.slot(Var(name)) for name in self._exported]
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
        """Compile the way from what is bound to full matches: what narrows most is looked up first."""
        parts = list(parts)
        if not parts:
            return self._judge_step if self._judged else self.matched
        rank = {part: eagerness(_condition(part), bound) for part in parts}
        best = [part for part in parts if rank[part] == min(rank.values())]
        if len(best) > 1 and not any(isinstance(part, Guard) for part in best) and rank[best[0]] >= BY_BUCKET:
            return self._smallest_step(best, parts, bound)
        return self._step(best[0], parts, bound)

    def _step(self, part: Pattern | Guard, parts: list[Pattern | Guard], bound: set[str]) -> Step:
        rest = self.steps([each for each in parts if each is not part], bound | binds(_condition(part)))
        if isinstance(part, Guard):
            return self._guard_step(part, rest)
        return _match_step(self.store, part, bound, rest)

    def _smallest_step(self, best: list[Pattern], parts: list[Pattern | Guard], bound: set[str]) -> Step:
        """Go on, each time, with the pattern that fewest facts fit; each way is compiled when it is first taken."""
        sizes = [_size(self.store, part, bound) for part in best]
        ways: list[Step | None] = [None] * len(best)

        def step(slots: Slots, matched: list[Record]) -> None:
            found = [size(slots) for size in sizes]
            at = found.index(min(found))
            way = ways[at]
            if way is None:
                way = ways[at] = self._step(best[at], parts, bound)
            way(slots, matched)

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
        premises = tuple(matched)
        key: Hashable = premises
        if self._exports:
            key = (premises, tuple([slots[slot] for slot in self._exports]))
        if key not in self._matches:
            if len(self._heads) == 1:
                entity, attribute, value = self._heads[0]
                facts: tuple[Fact, ...] = (_fact(Fact, (slots[entity], attribute, slots[value])),)
            else:
                facts = tuple([_fact(Fact, (slots[e], attribute, slots[v])) for e, attribute, v in self._heads])
            self.offer(Joined(self, key, premises, facts))

    def offer(self, activation: Joined) -> None:
        """Put an activation on the agenda."""
        if not self._queue:
            heappush(self.agenda.heap, self.place)
        self._matches[activation.key] = activation
        self._queue.append(activation)

    def __call__(self) -> None:
        """Fire what waits, the longest first, until there is something to do that goes before this rule."""
        heap, queue, place = self.agenda.heap, self._queue, self.place
        while queue:
            if heap and heap[0] < place:
                heappush(heap, place)
                return
            activation = queue.popleft()
            if activation.heads and not activation.holds():  # it fired before and was taken back for good
                del self._matches[activation.key]
            else:
                self._fire(activation)

    def _fire(self, activation: Joined) -> None:
        if len(activation.concluded) == 1:
            activation.heads = (self.store.record(activation.concluded[0]),)
        else:
            activation.heads = tuple(dict.fromkeys(map(self.store.record, activation.concluded)))
        for premise in activation.premises:
            premise.uses = held_with(premise.uses, activation)
        for nested in self.nested:
            nested.watch(activation)
        self.supports.fire(activation)

    def release(self, activation: Joined) -> None:
        """Forget an activation that is taken back."""
        del self._matches[activation.key]
        for premise in activation.premises:
            premise.uses = held_without(premise.uses, activation)
        for nested in self.nested:
            nested.unwatch(activation)

    def binding(self, activation: Joined) -> dict[str, Hashable]:
        """Return what the variables stand for in an activation."""
        binding: dict[str, Hashable] = {}
        for pattern, premise in zip(self.patterns, activation.premises, strict=True):
            for part, value in ((pattern.condition.entity, premise.entity), (pattern.condition.value, premise.value)):
                if isinstance(part, Var):
                    binding[part.name] = value
        exported: Any = activation.key
        return {**binding, **dict(zip(self._exported, exported[1], strict=True))} if self._exports else binding

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


def _condition(part: Pattern | Guard) -> Condition:
    return part if isinstance(part, Guard) else part.condition


def _is_known(part: Hashable, known: set[str]) -> bool:
    return part.name in known if isinstance(part, Var) else not isinstance(part, Test)


def _size(store: Store, pattern: Pattern, known: set[str]) -> Callable[[Slots], int]:
    """Return how to tell how many facts a pattern with an open entity has to go through."""
    attribute, value = pattern.condition.attribute, pattern.value
    if not _is_known(pattern.condition.value, known):
        return lambda _: len(store.by_attribute.get(attribute, ()))
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
            if _inside_fits(condition, record):
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


class _OfAttribute:
    """The patterns on one attribute, by what each fixes of entity and value."""

    def __init__(self) -> None:
        self._fixed: dict[tuple[bool, bool], dict[Hashable, tuple[Pattern | Nested, ...]]] = {}
        self._open: tuple[Pattern | Nested, ...] = ()
        self._plain = True  # no pattern asks more than equality of fixed parts

    def add(self, pattern: Pattern | Nested) -> None:
        condition = pattern.condition
        value = condition.value if isinstance(condition, Match) else _ANY
        self._plain = self._plain and not isinstance(value, Test) and (value != condition.entity or value == _ANY)
        fixes = (not isinstance(condition.entity, Var), not isinstance(value, (Var, Test)))
        if fixes == (False, False):
            self._open += (pattern,)
            return
        patterns = self._fixed.setdefault(fixes, {})
        key = _key(fixes, condition.entity, value)
        patterns[key] = (*patterns.get(key, ()), pattern)

    def fitting(self, record: Record) -> tuple[Pattern | Nested, ...]:
        found = self._open
        if self._fixed:
            for fixes, patterns in self._fixed.items():
                found += patterns.get(_key(fixes, record.entity, record.value), ())
        return found if self._plain else tuple(each for each in found if _inside_fits(each.condition, record))


def _key(fixes: tuple[bool, bool], entity: Hashable, value: Hashable) -> Hashable:
    if fixes == (True, True):
        return (entity, value)
    return entity if fixes[0] else value


class Patterns:
    """Ties each fact to the patterns that it fits, when it is first named."""

    def __init__(self, joins: Sequence[Join], store: Store) -> None:
        self._of: dict[Hashable, _OfAttribute] = defaultdict(_OfAttribute)
        for join in joins:
            for pattern in (*join.patterns, *join.nested):
                self._of[pattern.condition.attribute].add(pattern)
        for record in store.records.values():
            self._tie(record)
        store.on_new.append(self._tie)

    def _tie(self, record: Record) -> None:
        of_attribute = self._of.get(record.fact.attribute)
        if of_attribute is not None:
            record.patterns = of_attribute.fitting(record)
