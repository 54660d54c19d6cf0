"""Rules with variables: a new fact is joined with all others, and every full match is offered to the agenda once.

Plain matches and comparisons are looked up by compiled steps; all else that a rule asks is then judged by the matcher.
"""

from __future__ import annotations

from collections import deque
from heapq import heappush
from typing import TYPE_CHECKING, Any

from .conditions import Guard, Match, binds, leaves, variables
from .facts import Fact, Test, Var
from .lookups import Lookups
from .match import Matcher
from .patterns import Nested, Pattern
from .store import held_with, held_without
from .supports import Activation

if TYPE_CHECKING:
    from collections.abc import Hashable, Mapping

    from .agenda import Agenda, Layer
    from .lookups import Slots
    from .rules import Rule
    from .store import Record
    from .supports import Supports

__all__ = ["Join", "Joined"]

_fact = tuple.__new__  # half the time of making a named tuple by name


class Joined(Activation):
    """A joined rule with one full match."""

    __slots__ = ("concluded", "heads", "key", "owner", "premises")

    owner: Join

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
        self.patterns = [Pattern(self, number, match) for number, match in enumerate(matches)]
        by_matches = set(self.names)
        self._exported = sorted(set().union(*map(binds, conditions)) - by_matches)
        self._exports = [self.slot(Var(name)) for name in self._exported]
        guards = [each for each in conditions if isinstance(each, Guard) and variables(each) <= by_matches]
        self.plain: list[Pattern | Guard] = [*self.patterns, *guards]
        self._judged = tuple(each for each in conditions if not isinstance(each, Match) and each not in guards)
        self._heads = [(self.slot(head.entity), head.attribute, self.slot(head.value)) for head in self.rule.then]
        self._one_head = self._heads[0] if len(self._heads) == 1 else None
        self.lookups = Lookups(self.store, self.slot, self._judge_step if self._judged else self.matched)
        for pattern in self.patterns:
            others = [each for each in self.plain if each is not pattern]
            pattern.run = self.lookups.way(others, binds(pattern.condition))
        self.nested = [Nested(self, leaf) for leaf in leaves(self._judged)]

    def slot(self, part: Hashable) -> int:
        """Return the slot of a variable, the same for the same name, or a new one for a constant or a test."""
        if isinstance(part, Var) and part.name in self.names:
            return self.names[part.name]
        self.template.append(None if isinstance(part, (Var, Test)) else part)
        if isinstance(part, Var):
            self.names[part.name] = len(self.template) - 1
        return len(self.template) - 1

    def start(self) -> None:
        """Look once for matches with no facts at all; only a rule without patterns can have one."""
        if not self.patterns:
            self.lookups.way((), set())(self.template.copy(), [])

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
            if self._one_head is not None:
                entity, attribute, value = self._one_head
                facts: tuple[Fact, ...] = (_fact(Fact, (slots[entity], attribute, slots[value])),)
            else:
                facts = self._conclusions(slots)
            self.offer(Joined(self, key, premises, facts))

    def _conclusions(self, slots: Slots) -> tuple[Fact, ...]:
        facts = [_fact(Fact, (slots[entity], attribute, slots[value])) for entity, attribute, value in self._heads]
        return tuple(dict.fromkeys(facts))

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
        if not activation.heads:
            activation.heads = tuple([self.store.record(fact) for fact in activation.concluded])
            activation.concluded = ()
        for premise in activation.premises:
            premise.uses = activation if premise.uses is None else held_with(premise.uses, activation)
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
