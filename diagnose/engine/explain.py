"""Why a fact stands, why another does not, what a fact rests on and what rests on it. All is read off the supports."""

from __future__ import annotations

from collections import defaultdict, deque
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from .conditions import (
    AnyOf,
    Condition,
    Count,
    CountDistinct,
    Guard,
    Match,
    Not,
    Unknown,
    binds,
    conjuncts,
    leaves,
    substituted,
    variables,
)
from .facts import Fact, Var
from .match import Matcher
from .store import held

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Iterator, Mapping

    from .rules import Rule
    from .store import Record, Store
    from .supports import Activation, Supports

__all__ = ["Asked", "Explanation", "NearMiss", "Support"]


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Support:
    """Why a fact stands: the rule that concluded it, the supports of its premises, and the absences it relies on.

    ``rule`` is None for a fact that was told. A support is never among its own premises, however deep.
    """

    fact: Fact
    rule: str | None
    premises: tuple[Support, ...] = ()
    absences: tuple[Condition, ...] = ()

    def walk(self) -> Iterator[tuple[int, Support]]:
        """Yield each support once, with its depth, and its premises after it."""
        todo, seen = [(0, self)], set()
        while todo:
            depth, support = todo.pop()
            if support.fact not in seen:
                seen.add(support.fact)
                yield depth, support
                todo.extend((depth + 1, premise) for premise in reversed(support.premises))

    def __repr__(self) -> str:
        return f"Support({self.fact!r}, {self.rule!r}, {len(self.premises)} premises, {len(self.absences)} absences)"


class Asked(NamedTuple):
    """A condition with what its variables stand for, and the facts by which it holds or which stand in its way."""

    condition: Condition
    facts: tuple[Fact, ...]


class NearMiss(NamedTuple):
    """A rule that could conclude a fact: which of its conditions are met, all together, and which are not."""

    rule: str
    met: tuple[Asked, ...]
    unmet: tuple[Asked, ...]


class Explanation:
    """Reads explanations off what the engine keeps; changes nothing."""

    def __init__(self, rules: Iterable[Rule], store: Store, supports: Supports) -> None:
        self._rules = tuple(rules)
        self._store = store
        self._supports = supports
        self._matcher = Matcher(store)

    def why(self, fact: Fact) -> Support | None:
        """Return a short well-founded support of a fact, or None if it does not stand."""
        goal = self._standing(fact)
        if goal is None:
            return None
        built: dict[Record, Support] = {}
        for record, (activation, ways) in self._proofs(goal).items():
            built[record] = _support(record, activation, ways, built)
        return built[goal]

    def why_not(self, fact: Fact) -> tuple[NearMiss, ...]:
        """Return, for each rule that could conclude the fact, its conditions met and unmet, in the rule's order."""
        misses = []
        for rule in self._rules:
            starts = _head_bindings(rule, fact)
            if starts:
                near = [self._near_miss(rule, start) for start in starts]
                misses.append(min(near, key=lambda miss: len(miss.unmet)))
        return tuple(misses)

    def rests_on(self, fact: Fact) -> tuple[Fact, ...]:
        """Return the told facts that a fact rests on, through any of its supports."""
        goal = self._standing(fact)
        return () if goal is None else tuple(record.fact for record in self._above(goal)[0] if record.told)

    def consequences(self, fact: Fact) -> tuple[Fact, ...]:
        """Return the concluded facts that rest on a fact, through any of their supports."""
        after: dict[Record, list[Record]] = defaultdict(list)
        for activation in self._supports.fired:
            for record in self._evidence(activation):
                after[record].extend(activation.heads)
        start = self._standing(fact)
        reached: dict[Record, None] = {}
        todo = deque([] if start is None else [start])
        while todo:
            for record in after[todo.popleft()]:
                if record not in reached:
                    reached[record] = None
                    todo.append(record)
        return tuple(record.fact for record in reached if record is not start)

    def _standing(self, fact: Fact) -> Record | None:
        record = self._store.records.get(fact)
        return record if record is not None and record.standing else None

    def _evidence(self, activation: Activation) -> Iterator[Record]:
        for condition in activation.rule.conditions:
            yield from self._facts_of((condition,), activation.binding)

    def _facts_of(self, conditions: Iterable[Condition], binding: Mapping[str, Hashable]) -> Iterator[Record]:
        """Yield the facts of every way in which the conditions hold; a fact may come more than once."""
        conditions = tuple(conjuncts(conditions))
        for wider, facts in self._matcher.solutions(conditions, binding):
            yield from facts
            for condition in conditions:
                if isinstance(condition, (AnyOf, Count)):
                    for each in condition.conditions:
                        yield from self._facts_of((each,), wider)
                elif isinstance(condition, CountDistinct):
                    yield from self._facts_of(condition.conditions, wider)

    def _above(self, goal: Record) -> tuple[dict[Record, None], dict[Activation, tuple[Record, ...]]]:
        """Return the goal and all that it rests on in any way, and the firings between, each with its evidence."""
        seen: dict[Record, None] = {goal: None}
        firings: dict[Activation, tuple[Record, ...]] = {}
        todo = deque([goal])
        while todo:
            for activation in held(todo.popleft().supports):
                if activation not in firings:
                    firings[activation] = tuple(dict.fromkeys(self._evidence(activation)))
                    fresh = [record for record in firings[activation] if record not in seen]
                    seen.update(dict.fromkeys(fresh))
                    todo.extend(fresh)
        return seen, firings

    def _proofs(self, goal: Record) -> dict[Record, tuple[Activation | None, Any]]:
        """Prove facts from the told ones up to the goal; each proof rests only on facts proved before it."""
        seen, firings = self._above(goal)
        proved: dict[Record, tuple[Activation | None, Any]] = {record: (None, ()) for record in seen if record.told}
        mentioned: dict[Record, list[Activation]] = defaultdict(list)
        for activation, records in firings.items():
            for record in records:
                mentioned[record].append(activation)
        allowed = Matcher(self._store, proved.__contains__)
        todo = deque(proved)
        trials = [activation for activation, records in firings.items() if not records]
        while goal not in proved:
            for activation in trials:
                ways = [allowed.first((each,), activation.binding) for each in activation.rule.conditions]
                fresh = [head for head in activation.heads if head not in proved]
                if None not in ways:
                    proved.update((head, (activation, ways)) for head in fresh)
                    todo.extend(fresh)
            trials = mentioned[todo.popleft()] if todo and goal not in proved else []
        return proved

    def _near_miss(self, rule: Rule, start: Mapping[str, Hashable]) -> NearMiss:
        met = self._met_together(rule, start)
        found = self._matcher.first(met, start)
        binding = start if found is None else found[0]
        judged: tuple[list[Asked], list[Asked]] = ([], [])
        for condition in rule.conditions:
            way = self._matcher.first((condition,), binding) if condition in met else None
            shown = substituted(condition, binding)
            facts = self._instead(shown) if way is None else tuple(record.fact for record in way[1])
            judged[way is None].append(Asked(shown, facts))
        return NearMiss(rule.id, tuple(judged[0]), tuple(judged[1]))

    def _met_together(self, rule: Rule, start: Mapping[str, Hashable]) -> list[Condition]:
        """Return conditions that hold together; none of the others can be added."""
        met: list[Condition] = []
        for condition in sorted(rule.conditions, key=_when_to_judge):
            known = set(start).union(*map(binds, met))
            if isinstance(condition, Guard) and not variables(condition) <= known:
                continue
            if self._matcher.first([*met, condition], start) is not None:
                met.append(condition)
        return met

    def _instead(self, condition: Condition) -> tuple[Fact, ...]:
        """Return the facts that stand where an unmet condition looked."""
        places = {(leaf.pattern.entity, leaf.pattern.attribute): None for leaf in leaves((condition,))}
        return tuple(
            record.fact for place in places if not isinstance(place[0], Var) for record in self._store.found(*place)
        )


def _when_to_judge(condition: Condition) -> int:
    """Put what binds variables before what uses them."""
    return next((at for at, kind in enumerate((Match, AnyOf, Guard)) if isinstance(condition, kind)), 3)


def _head_bindings(rule: Rule, fact: Fact) -> list[dict[str, Hashable]]:
    """Return what the rule's variables would stand for, for each of its heads that could be the fact."""
    bindings = []
    for head in rule.then:
        binding: dict[str, Hashable] = {}
        if all(
            binding.setdefault(part.name, value) == value if isinstance(part, Var) else part == value
            for part, value in zip(head, fact, strict=True)
        ):
            bindings.append(binding)
    return bindings


def _support(record: Record, activation: Activation | None, ways: Any, built: Mapping[Record, Support]) -> Support:  # noqa: ANN401
    if activation is None:
        return Support(record.fact, None)
    premises = dict.fromkeys(premise for way in ways for premise in way[1])
    absences = tuple(
        substituted(condition, activation.binding)
        for condition, way in zip(activation.rule.conditions, ways, strict=True)
        if _relies_on_absence(condition, way[1])
    )
    return Support(record.fact, activation.rule.id, tuple(built[premise] for premise in premises), absences)


def _relies_on_absence(condition: Condition, facts: tuple[Record, ...]) -> bool:
    if isinstance(condition, (Count, CountDistinct)):
        return condition.at_most is not None
    return isinstance(condition, (Not, Unknown)) or (isinstance(condition, AnyOf) and not facts)
