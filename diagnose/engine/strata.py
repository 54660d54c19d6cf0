"""Layers by absence: what rests on the absence of a fact waits until no rule can conclude that fact any more.

Rules and patterns make one graph: a rule leads to the facts it concludes, these to the patterns they fit, these to the
rules that use them. Rules on one cycle share a layer. A cycle through an absence could never settle: it is refused.
"""

from __future__ import annotations

from collections import defaultdict, deque
from typing import TYPE_CHECKING, NamedTuple

from .conditions import Match, leaves
from .facts import Fact, Test, Var

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Iterator, Sequence

    from .rules import Rule

__all__ = ["Layers", "UnsettledRules", "layered"]

ANY = Var("")


class UnsettledRules(ValueError):  # noqa: N818 -- said of the rules
    """Rules that rest, in a circle, on the absence of what they conclude. ``cycle`` holds their ids, in order."""

    def __init__(self, cycle: tuple[str, ...]) -> None:
        self.cycle = cycle
        path = " -> ".join(map(repr, (*cycle, cycle[0])))
        super().__init__(
            f"these rules cannot settle, because each leads to the next and an absence is among what they ask: {path}"
        )


class Layers(NamedTuple):
    """For each rule, in the order given: its layer (0 is lowest), and whether it can lead back to itself."""

    of_rule: list[int]
    recursive: list[bool]


def _open(part: Hashable) -> Hashable:
    return ANY if isinstance(part, Var) else part


def _fits(head: Hashable, wanted: Hashable) -> bool:
    if isinstance(head, Var) or isinstance(wanted, Var):
        return True
    return wanted.passes(head) if isinstance(wanted, Test) else head == wanted


class _Graph:
    """Nodes are numbers: first the rules, then the distinct heads and patterns."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        self.rules = rules
        self.after: list[list[int]] = [[] for _ in rules]
        self.strict: set[tuple[int, int]] = set()
        self._numbers: dict[Hashable, int] = {}
        self._concluded: set[int] = set()  # the patterns that some head fits
        self._heads: dict[Hashable, dict[Fact, None]] = defaultdict(dict)
        for number, rule in enumerate(rules):
            for head in rule.then:
                self._add_head(number, head)
        for number, rule in enumerate(rules):
            for leaf in leaves(rule.when):
                value = leaf.pattern.value if isinstance(leaf.pattern, Match) else ANY
                self._add_pattern(number, Fact(leaf.pattern.entity, leaf.pattern.attribute, value), strict=leaf.strict)

    def _number(self, key: Hashable) -> tuple[int, bool]:
        known = self._numbers.get(key)
        if known is not None:
            return known, False
        self._numbers[key] = len(self.after)
        self.after.append([])
        return self._numbers[key], True

    def _add_head(self, rule: int, fact: Fact) -> None:
        head = Fact(_open(fact.entity), fact.attribute, _open(fact.value))
        node, new = self._number(("head", head))
        self.after[rule].append(node)
        if new:
            for key in {(a, e, v) for a in [head.attribute] for e in (head.entity, None) for v in (head.value, None)}:
                self._heads[key][head] = None

    def _add_pattern(self, rule: int, fact: Fact, *, strict: bool) -> None:
        wanted = Fact(_open(fact.entity), fact.attribute, _open(fact.value))
        node, new = self._number(("pattern", wanted))
        if new:
            for head in self._heads_that_fit(wanted):
                self.after[self._numbers["head", head]].append(node)
                self._concluded.add(node)
        if node in self._concluded:  # what no rule concludes, none has to wait for
            self.after[node].append(rule)
            if strict:
                self.strict.add((node, rule))

    def _heads_that_fit(self, wanted: Fact) -> Iterator[Fact]:
        entities = (None,) if wanted.entity == ANY else (wanted.entity, ANY)
        tested = isinstance(wanted.value, Test)
        values = (None,) if tested or wanted.value == ANY else (wanted.value, ANY)
        for entity in entities:
            for value in values:
                for head in self._heads.get((wanted.attribute, entity, value), ()):
                    if not tested or _fits(head.value, wanted.value):
                        yield head


def _components(after: Sequence[Sequence[int]]) -> tuple[list[int], list[int]]:
    """Return the component of each node and the size of each component (Tarjan's algorithm).

    A component's number is above the numbers of those it leads to.
    """
    count = len(after)
    index, low, component = [0] * count, [0] * count, [-1] * count
    sizes: list[int] = []
    stack: list[int] = []
    seen = 0
    for root in range(count):
        if index[root]:
            continue
        work = [(root, iter(after[root]))]
        seen += 1
        index[root] = low[root] = seen
        stack.append(root)
        while work:
            node, rest = work[-1]
            for successor in rest:
                if not index[successor]:
                    seen += 1
                    index[successor] = low[successor] = seen
                    stack.append(successor)
                    work.append((successor, iter(after[successor])))
                    break
                if component[successor] < 0:
                    low[node] = min(low[node], index[successor])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == index[node]:
                    sizes.append(_pop_component(stack, component, node, len(sizes)))
    return component, sizes


def _pop_component(stack: list[int], component: list[int], node: int, number: int) -> int:
    size = 0
    while component[node] < 0:
        component[stack.pop()] = number
        size += 1
    return size


def _cycle(graph: _Graph, component: Sequence[int], start: int, goal: int) -> tuple[str, ...]:
    """Return the ids of the rules on a shortest way from start to goal inside their component."""
    came_from = {start: start}
    queue = deque([start])
    while goal not in came_from:
        node = queue.popleft()
        for successor in graph.after[node]:
            if component[successor] == component[start] and successor not in came_from:
                came_from[successor] = node
                queue.append(successor)
    way = [goal]
    while way[-1] != start:
        way.append(came_from[way[-1]])
    return tuple(graph.rules[node].id for node in reversed(way) if node < len(graph.rules))


def layered(rules: Sequence[Rule]) -> Layers:
    """Put each rule in its layer. Raises UnsettledRules and names a cycle when an absence lies on one."""
    graph = _Graph(rules)
    component, sizes = _components(graph.after)
    for pattern, rule in sorted(graph.strict):
        if component[pattern] == component[rule]:
            raise UnsettledRules(_cycle(graph, component, rule, pattern))
    layer = _longest_ways(graph, component, len(sizes))
    numbers = range(len(rules))
    return Layers(
        [layer[component[number]] for number in numbers], [sizes[component[number]] > 1 for number in numbers]
    )


def _longest_ways(graph: _Graph, component: Sequence[int], count: int) -> list[int]:
    """Count, for each component, the absences on the way with most of them that leads to it."""
    layer = [0] * count
    for node in _downstream_last(component):
        for successor in graph.after[node]:
            least = layer[component[node]] + ((node, successor) in graph.strict)
            if component[successor] != component[node] and layer[component[successor]] < least:
                layer[component[successor]] = least
    return layer


def _downstream_last(component: Sequence[int]) -> Iterable[int]:
    return sorted(range(len(component)), key=component.__getitem__, reverse=True)
