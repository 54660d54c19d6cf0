"""Where facts are kept and by what they are found."""

from __future__ import annotations

from diagnose.engine import Fact
from diagnose.engine.agenda import Agenda
from diagnose.engine.store import Store, held, held_with, held_without
from diagnose.engine.supports import Supports


def stand(store, fact):
    """Make a fact stand and return its record."""
    record = store.record(fact)
    Supports(store, Agenda((), ())).stand(record)
    return record


def fall(store, record):
    """Make it fall."""
    Supports(store, Agenda((), ())).lose(record)


def test_only_standing_facts_are_found():
    """A fact that is only named is not found by entity and attribute; it is found when it stands, until it falls."""
    store = Store()
    store.record(Fact("a", "p", 1))
    assert list(store.found("a", "p")) == []
    record = stand(store, Fact("a", "p", 1))
    assert list(store.found("a", "p")) == [record]
    fall(store, record)
    assert list(store.found("a", "p")) == []


def test_an_index_asked_for_late_has_the_early_facts():
    """Indexes by value and by attribute hold what stood before they were asked for, and what comes after."""
    store = Store()
    early = stand(store, Fact("a", "p", 1))
    store.record(Fact("b", "p", 1))
    store.index_values("p")
    store.index_attribute("p")
    late = stand(store, Fact("c", "p", 1))
    stand(store, Fact("d", "q", 1))
    assert list(store.by_value["p", 1]) == [early, late]
    assert list(store.by_attribute["p"]) == [early, late]
    assert ("q", 1) not in store.by_value


def test_forgetting_drops_what_only_this_fact_needed():
    """A forgotten fact takes its empty buckets along; a bucket that another fact is in, or that is pinned, stays."""
    store = Store()
    store.index_values("p")
    store.pin(Fact("a", "p", 9))
    gone, other = stand(store, Fact("a", "p", 1)), stand(store, Fact("b", "p", 1))
    fall(store, gone)
    store.forget(gone)
    assert set(store.records) == {Fact("a", "p", 9), Fact("b", "p", 1)}
    assert set(store.homes) == {("a", "p"), ("b", "p")}
    fall(store, other)
    store.forget(other)
    assert set(store.homes) == {("a", "p")}
    assert set(store.by_value) == {("p", 9)}


def test_firings_are_held_in_order_and_let_go_in_any():
    """None, one or many firings: each is held once, in order, and whichever is let go the others stay."""
    firings = [object() for _ in range(4)]
    for gone in firings:
        together = None
        for firing in [*firings, firings[0], firings[3]]:
            together = held_with(together, firing)
        assert list(held(together)) == firings
        together = held_without(together, gone)
        assert list(held(together)) == [firing for firing in firings if firing is not gone]
    for firing in firings:
        together = held_without(together, firing)
    assert list(held(together)) == []
    assert together is None
    assert list(held(held_without(firings[0], firings[1]))) == [firings[0]]
