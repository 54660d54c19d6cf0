"""What is to be done next: same input, same order.

Every layer of rules gets a run of places on one line: first the place of each chore (take back what broke, give back
what stands after all, match what came), then one place for each of its rules, higher rank first, then more conditions,
then lower order. The agenda is a heap of places, so the lowest layer settles before the next one is looked at, and a
chore is never overtaken by a rule.
"""

from __future__ import annotations

from functools import partial
from heapq import heappush
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from .rules import Rule
    from .supports import Activation

__all__ = ["Agenda", "Layer"]


class Layer:
    """One layer's places and what its chores have to look at."""

    __slots__ = ("again", "again_at", "arrived", "broken", "broken_at", "match_at")

    def __init__(self, first: int) -> None:
        self.broken_at, self.again_at, self.match_at = first, first + 1, first + 2
        self.broken: list[Activation] = []  # may have lost a condition
        self.again: list[Activation] = []  # may give back a fact that fell
        self.arrived: list[Any] = []  # (pattern, record): may complete a join


CHORES = 3


class Agenda:
    """The heap of places, and what stands at each place."""

    def __init__(self, rules: Sequence[Rule], of_rule: Sequence[int]) -> None:
        self.heap: list[int] = []
        self.tasks: list[Any] = []
        self.layers: list[Layer] = []
        self.place: list[int] = [0] * len(rules)
        members: list[list[int]] = [[] for _ in range(max(of_rule, default=-1) + 1)]
        for number, layer in enumerate(of_rule):
            members[layer].append(number)
        for layer_members in members:
            self._add_layer(rules, layer_members)

    def _add_layer(self, rules: Sequence[Rule], members: list[int]) -> None:
        self.layers.append(Layer(len(self.tasks)))
        self.tasks += [None] * CHORES
        for number in sorted(members, key=lambda n: (-rules[n].rank, -len(rules[n].when), rules[n].order, n)):
            self.place[number] = len(self.tasks)
            self.tasks.append(None)

    def set_chores(
        self, broken: Callable[[Layer], None], again: Callable[[Layer], None], match: Callable[[Layer], None]
    ) -> None:
        """Say what does each chore."""
        for layer in self.layers:
            for place, chore in ((layer.broken_at, broken), (layer.again_at, again), (layer.match_at, match)):
                self.tasks[place] = partial(chore, layer)

    def break_(self, activation: Activation) -> None:
        """Have a firing looked at that may no longer hold."""
        layer = activation.layer
        if not layer.broken:
            heappush(self.heap, layer.broken_at)
        layer.broken.append(activation)

    def give_back(self, activation: Activation) -> None:
        """Have a firing looked at that still supports a fact which fell."""
        layer = activation.layer
        if not layer.again:
            heappush(self.heap, layer.again_at)
        layer.again.append(activation)

    def arrive(self, layer: Layer, pattern: Any, record: Any) -> None:  # noqa: ANN401 -- the agenda only carries them
        """Have a fact matched against the joins that its pattern belongs to."""
        if not layer.arrived:
            heappush(self.heap, layer.match_at)
        layer.arrived.append((pattern, record))
