"""The engine: facts are told and taken back, and what follows from them is always settled."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from typing import TYPE_CHECKING, NamedTuple

from .agenda import Agenda
from .explain import Explanation, NearMiss, Support
from .facts import Fact, checked
from .gates import Gates
from .joins import Join
from .match import Matcher
from .patterns import Patterns
from .rules import BadRule, Rule, check_conditions
from .store import Bucket, Store
from .strata import layered
from .supports import Supports

if TYPE_CHECKING:
    from .conditions import Condition
    from .store import Record
    from .supports import Activation

__all__ = ["Change", "Engine", "FactsView", "Firing"]


class Firing(NamedTuple):
    """A rule, by its id, and a fact that it concluded."""

    rule: str
    fact: Fact


class Change:
    """What one step changed: facts that stand now and did not, facts that stood and do not, and what fired."""

    __slots__ = ("_log", "added", "removed")

    def __init__(self, added: tuple[Fact, ...], removed: tuple[Fact, ...], log: Iterable[Activation]) -> None:
        self.added, self.removed, self._log = added, removed, log

    @property
    def fired(self) -> tuple[Firing, ...]:
        """The firings of this step that are news, in the order in which they happened."""
        return _firings(self._log)

    def __repr__(self) -> str:
        return f"Change(added={self.added}, removed={self.removed}, fired={self.fired})"


class FactsView(AbstractSet[Fact]):
    """A read-only set of facts that follows the engine, in the order in which they came."""

    def __init__(self, bucket: Bucket, store: Store) -> None:
        self._bucket, self._records = bucket, store.records

    def __contains__(self, fact: object) -> bool:
        try:
            record = self._records.get(fact)  # type: ignore[call-overload]
        except TypeError:  # what cannot be hashed cannot be a fact
            return False
        return record is not None and record in self._bucket

    def __iter__(self) -> Iterator[Fact]:
        return (record.fact for record in self._bucket)

    def __len__(self) -> int:
        return len(self._bucket)

    def __repr__(self) -> str:
        return f"{{{', '.join(map(repr, self))}}}"

    @classmethod
    def _from_iterable(cls, facts: Iterable[Fact]) -> frozenset[Fact]:  # type: ignore[override]
        return frozenset(facts)


class Engine:
    """Rules at work on what is told.

    Raises BadRule when two rules share an id, and UnsettledRules when rules rest, in a circle, on the absence of what
    they conclude. No order of telling, and no history of taking back, changes what stands.
    """

    def __init__(self, rules: Iterable[Rule]) -> None:
        self.rules = tuple(rules)
        _check_ids(self.rules)
        layers = layered(self.rules)
        self._store = Store()
        self._agenda = Agenda(self.rules, layers.of_rule)
        self._supports = Supports(self._store, self._agenda)
        self._told = Bucket()
        self._explanation = Explanation(self.rules, self._store, self._supports)
        self._build(layers.of_rule, layers.recursive)
        self._supports.settle()

    @property
    def facts(self) -> FactsView:
        """Everything that stands: told or concluded."""
        return FactsView(self._store.standing, self._store)

    @property
    def told(self) -> FactsView:
        """Everything that was told and not taken back."""
        return FactsView(self._told, self._store)

    @property
    def fired(self) -> tuple[Firing, ...]:
        """The firings in force, in the order in which they happened."""
        return _firings(self._supports.fired)

    def tell(self, *facts: Fact) -> Change:
        """Make facts stand; telling again changes nothing. Raises BadFact, and then nothing has changed."""
        return self.revise((), facts)

    def withdraw(self, *facts: Fact) -> Change:
        """Take back what was told; a fact that was not told, or that follows from others, is left as it is."""
        return self.revise(facts, ())

    def revise(self, out: Iterable[Fact], in_: Iterable[Fact]) -> Change:
        """Take some facts back and tell others in one step."""
        gone, come = [*map(self._named, out)], [(self._named(fact), fact) for fact in in_]
        self._supports.begin()
        for record in gone:
            if record is not None:
                self._untell(record)
        for record, fact in come:
            self._tell(self._store.record(fact) if record is None else record)
        self._supports.settle()
        return self._change()

    def holds(self, fact: Fact) -> bool:
        """Say whether a fact stands."""
        return fact in self.facts

    def values(self, entity: Hashable, attribute: Hashable) -> list[Hashable]:
        """Return the values which this attribute of this entity has, in the order in which they came."""
        return [record.value for record in self._store.found(entity, attribute)]

    def matches(self, *conditions: Condition) -> Iterator[Mapping[str, Hashable]]:
        """Yield every way in which the conditions hold together, as what each variable stands for. Raises BadRule."""
        check_conditions(conditions)
        seen = set()
        for binding, _ in Matcher(self._store).solutions(conditions, {}):
            key = frozenset(binding.items())
            if key not in seen:
                seen.add(key)
                yield binding

    def why(self, fact: Fact) -> Support | None:
        """Return why a fact stands, down to what was told, or None if it does not stand."""
        return self._explanation.why(fact)

    def why_not(self, fact: Fact) -> tuple[NearMiss, ...]:
        """Return, for each rule that could conclude the fact, which conditions are met and which are not."""
        return self._explanation.why_not(fact)

    def rests_on(self, fact: Fact) -> tuple[Fact, ...]:
        """Return the told facts that a fact rests on, through any of its supports."""
        return self._explanation.rests_on(fact)

    def consequences(self, fact: Fact) -> tuple[Fact, ...]:
        """Return the concluded facts that rest on a fact, through any of their supports."""
        return self._explanation.consequences(fact)

    def _build(self, of_rule: list[int], recursive: list[bool]) -> None:
        gates, joins = Gates(self._store, self._agenda), []
        for number, rule in enumerate(self.rules):
            layer, place = self._agenda.layers[of_rule[number]], self._agenda.place[number]
            if rule.is_ground:
                gates.add(rule, layer, place, recursive=recursive[number])
            else:
                joins.append(
                    Join(rule, layer, place, recursive=recursive[number], agenda=self._agenda, supports=self._supports)
                )
                self._agenda.tasks[place] = joins[-1]
        gates.close()
        Patterns(joins, self._store)
        for join in joins:
            join.start()

    def _named(self, fact: Fact) -> Record | None:
        """Return the record of a fact, if it was named before. Raises BadFact."""
        try:
            record = self._store.records.get(fact)
        except TypeError:
            record = None
        if record is None or not isinstance(fact, Fact):
            checked(fact)
        return record

    def _tell(self, record: Record) -> None:
        if not record.told:
            record.told = True
            self._told[record] = None
            if not record.standing:
                self._supports.stand(record)

    def _untell(self, record: Record) -> None:
        if record.told:
            record.told = False
            del self._told[record]
            self._supports.lose(record)

    def _change(self) -> Change:
        added, removed = [], []
        for record, stood in self._supports.touched.items():
            if record.standing:
                if not stood:
                    added.append(record.fact)
            else:
                if stood:
                    removed.append(record.fact)
                if not record.pinned:
                    self._store.forget(record)
        return Change(tuple(added), tuple(removed), self._supports.log)


def _firings(activations: Iterable[Activation]) -> tuple[Firing, ...]:
    return tuple(Firing(each.rule.id, head.fact) for each in activations for head in each.heads)


def _check_ids(rules: Iterable[Rule]) -> None:
    seen = set()
    for rule in rules:
        if not isinstance(rule, Rule):
            raise BadRule(f"{rule!r} is not a Rule")
        if rule.id in seen:
            raise BadRule(f"rule {rule.id!r}: another rule has the same id")
        seen.add(rule.id)
