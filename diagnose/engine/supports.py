"""Why each fact stands; facts are withdrawn by deleting and deriving again.

A fact stands while it is told or a firing supports it. Counting supports is enough where no rule leads back to itself.
Where one can, facts may support each other in a circle; so there a fact that loses anything falls at once, with all
that rests on it, and is given back by whatever still holds when the falling is over.
"""

from __future__ import annotations

from heapq import heappop, heappush
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from .store import held, held_with, held_without

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Mapping, Sequence

    from .agenda import Agenda, Layer
    from .store import Record, Store

__all__ = ["Activation", "Gate", "Supports"]

_IS_RECURSIVE = attrgetter("recursive")


class Activation:
    """A rule with everything that its conditions bind: what fires, and what then supports its heads."""

    __slots__ = ()

    rule: Any
    layer: Any
    place: Any  # on the agenda
    recursive: Any  # whether the rule can lead back to itself
    heads: Any  # the records it supports
    binding: Any  # what the rule's variables stand for
    owner: Any  # the join that made it, if a join did
    key: Any  # what tells it from the rule's other activations

    def holds(self) -> bool:
        """Say whether the conditions hold now."""
        raise NotImplementedError


class Gate(Activation):
    """Counts how many of its inputs hold; it is on from ``low`` of them to ``high``.

    The gate of a whole rule is the rule's one activation. ``missing`` is low minus the count, so the gate is on from 0
    down to, but without, ``over``.
    """

    __slots__ = ("cyclic", "heads", "layer", "missing", "over", "parents", "place", "recursive", "rule")

    owner = None
    key = ()
    binding: Mapping[str, Hashable] = {}

    def __init__(self, low: int, high: int | None = None) -> None:
        self.missing = low
        self.over = None if high is None else low - high - 1
        self.parents: Sequence[Gate] = ()
        self.cyclic: Sequence[Gate] = ()  # rules above it that can lead back to themselves
        self.place = -1

    def holds(self) -> bool:
        """Say whether the gate is on."""
        return self.missing <= 0 and (self.over is None or self.missing > self.over)


class Supports:
    """Makes facts stand and fall, rules fire and take back, and passes on what each of these touches."""

    def __init__(self, store: Store, agenda: Agenda) -> None:
        self.store = store
        self._agenda = agenda
        self._heap = agenda.heap
        self.fired: dict[Activation, None] = {}  # the firings in force, in order
        self.touched: dict[Record, bool] = {}  # whether each fact stood before this step
        self.log: list[Activation] = []  # the firings of this step
        self._taken_back: set[Hashable] = set()  # in this step; firing again is not news
        agenda.set_chores(self._take_back_broken, self._give_back, self._match)

    def settle(self) -> None:
        """Do what is on the agenda until it is empty."""
        heap, tasks, fired = self._heap, self._agenda.tasks, self.fired
        while heap:
            task = tasks[heappop(heap)]
            if type(task) is not Gate:
                task()
            elif not task.missing and task not in fired:
                self.fire(task)

    def begin(self) -> None:
        """Start a step: nothing touched yet."""
        self.touched, self.log = {}, []
        self._taken_back.clear()

    def fire(self, activation: Activation) -> None:
        """Support the heads, and make those stand that did not."""
        self.fired[activation] = None
        if not self._taken_back or _identity(activation) not in self._taken_back:
            self.log.append(activation)
        for head in activation.heads:
            head.supports = activation if head.supports is None else held_with(head.supports, activation)
            if not head.standing:
                self.stand(head)

    def stand(self, record: Record) -> None:
        """Make a fact stand."""
        record.standing = True
        if record not in self.touched:
            self.touched[record] = False
        self.store.standing[record] = record.home[record] = None
        if record.alike is not None:
            record.alike[record] = None
        if record.kin is not None:
            record.kin[record] = None
        if record.gates:
            self._raise(record.gates)
        for pattern in record.patterns:
            pattern.came(record)

    def lose(self, record: Record) -> None:
        """Make a fact fall unless something surely still supports it."""
        if record.standing and not record.told:
            supports = record.supports
            if supports is None or all(map(_IS_RECURSIVE, held(supports))):
                self._fall(record)

    def _fall(self, record: Record) -> None:
        record.standing = False
        if record not in self.touched:
            self.touched[record] = True
        del self.store.standing[record], record.home[record]
        if record.alike is not None:
            del record.alike[record]
        if record.kin is not None:
            del record.kin[record]
        if record.gates:
            self._lower(record.gates)
        for pattern in record.patterns:
            pattern.went(record)
        if record.uses is not None:
            for activation in held(record.uses):
                self._agenda.break_(activation)
        if record.supports is not None:
            for support in held(record.supports):
                self._agenda.give_back(support)

    def _raise(self, gates: Iterable[Gate]) -> None:
        for gate in gates:
            gate.missing = missing = gate.missing - 1
            if missing == 0:
                if gate.place < 0:
                    self._raise(gate.parents)
                else:
                    heappush(self._heap, gate.place)
            elif missing == gate.over:
                self._lower(gate.parents)

    def _lower(self, gates: Iterable[Gate]) -> None:
        for gate in gates:
            gate.missing = missing = gate.missing + 1
            if missing == 1:
                if gate.place < 0:
                    self._lower(gate.parents)
                else:
                    self._agenda.break_(gate)
            elif missing - 1 == gate.over:
                self._raise(gate.parents)
            elif missing < 1:  # still on, but perhaps only by what rests on the rule itself
                for above in gate.cyclic:
                    self._agenda.break_(above)

    def _take_back_broken(self, layer: Layer) -> None:
        """Take back each firing that no longer holds, or whose rule can lead back to itself."""
        broken = layer.broken
        for activation in broken:  # grows while facts fall
            if activation in self.fired and (activation.recursive or not activation.holds()):
                self._take_back(activation)
        broken.clear()

    def _take_back(self, activation: Activation) -> None:
        del self.fired[activation]
        self._taken_back.add(_identity(activation))
        if activation.owner is not None:
            activation.owner.release(activation)
        if activation.recursive:
            self._reconsider(activation)
        for head in activation.heads:
            head.supports = None if head.supports is activation else held_without(head.supports, activation)
            self.lose(head)

    def _reconsider(self, activation: Activation) -> None:
        if activation.owner is None:
            heappush(self._heap, activation.place)
        else:
            activation.owner.offer(activation)

    def _give_back(self, layer: Layer) -> None:
        again, layer.again = layer.again, []
        for activation in again:
            if activation in self.fired:
                for head in activation.heads:
                    if not head.standing:
                        self.stand(head)

    @staticmethod
    def _match(layer: Layer) -> None:
        arrived, layer.arrived = layer.arrived, []
        for pattern, record in arrived:
            pattern.match(record)


def _identity(activation: Activation) -> Hashable:
    """Return what is the same for an activation that is made anew."""
    return activation if activation.owner is None else (activation.place, activation.key)
