"""Rules without variables as a net of counters: an answer touches the gates it feeds and nothing else."""

from __future__ import annotations

from collections import defaultdict
from heapq import heappush
from typing import TYPE_CHECKING

from .conditions import AllOf, AnyOf, Condition, Count, Guard, Match, Not, Unknown
from .facts import Fact, Test
from .supports import Gate

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Sequence

    from .agenda import Agenda, Layer
    from .rules import Rule
    from .store import Record, Store

__all__ = ["Gates"]


class Gates:
    """Builds the gates of rules, and ties each fact to the gates it feeds when it is first named."""

    def __init__(self, store: Store, agenda: Agenda) -> None:
        self._store = store
        self._agenda = agenda
        self._tested: dict[tuple[Hashable, Hashable], dict[Test | None, Gate]] = defaultdict(dict)

    def add(self, rule: Rule, layer: Layer, place: int, *, recursive: bool) -> None:
        """Build the gate of one rule; it goes on the agenda if it holds with no facts at all."""
        conditions = rule.conditions
        gate = Gate(len(conditions))
        gate.rule, gate.layer, gate.place, gate.recursive = rule, layer, place, recursive
        gate.heads = tuple(dict.fromkeys(self._store.pin(head) for head in rule.then))
        self._agenda.tasks[place] = gate
        self._feed(conditions, gate, gate if recursive else None)
        if gate.holds():
            heappush(self._agenda.heap, place)

    def close(self) -> None:
        """Tie the facts named so far to the tests on them, and every later one as it comes."""
        if not self._tested:
            return
        for record in self._store.records.values():
            self._tie(record)
        self._store.on_new.append(self._tie)

    def _tie(self, record: Record) -> None:
        for test, gate in self._tested.get((record.entity, record.fact.attribute), {}).items():
            if test is None or test.passes(record.value):
                record.gates = _with(record.gates, gate)

    def _feed(self, conditions: Iterable[Condition], parent: Gate, top: Gate | None) -> None:
        """Make the parent count these conditions; ``top`` is the rule's gate if the rule can lead back to itself."""
        for condition in conditions:
            if isinstance(condition, Match) and not isinstance(condition.value, Test):
                record = self._store.pin(Fact(condition.entity, condition.attribute, condition.value))
                record.gates = _with(record.gates, parent)
            else:
                self._join(self._gate(condition, top), parent, top)

    @staticmethod
    def _join(gate: Gate, parent: Gate, top: Gate | None) -> None:
        gate.parents = _with(gate.parents, parent)
        if top is not None:
            gate.cyclic = _with(gate.cyclic, top)
        if gate.holds():
            parent.missing -= 1

    def _gate(self, condition: Condition, top: Gate | None) -> Gate:
        match condition:
            case Match(entity, attribute, Test() as test):
                return self._test_gate(entity, attribute, test)
            case Unknown(entity, attribute):
                gate = Gate(0, 0)
                self._join(self._test_gate(entity, attribute, None), gate, top)
                return gate
            case Guard(left, _, right):
                return Gate(0 if condition.holds(left, right) else 1)
            case Count(inner, low, high):
                gate = Gate(low, high)
            case AllOf(inner):
                gate = Gate(len(inner))
            case AnyOf(inner):
                gate = Gate(1)
            case Not(inner):
                gate = Gate(0, len(inner) - 1)
            case _:
                raise TypeError(condition)
        self._feed(inner, gate, top)
        return gate

    def _test_gate(self, entity: Hashable, attribute: Hashable, test: Test | None) -> Gate:
        tests = self._tested[entity, attribute]
        if test not in tests:
            tests[test] = Gate(1)
        return tests[test]


def _with(gates: Sequence[Gate], gate: Gate) -> Sequence[Gate]:
    """Return the gates with one more; most never have any, so a list is made for the first."""
    if isinstance(gates, list):
        gates.append(gate)
        return gates
    return [*gates, gate]
