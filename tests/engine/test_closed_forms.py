"""Tasks whose outcome a formula gives, and whose work is counted, not timed."""

from __future__ import annotations

import pytest

from diagnose.engine import Engine, Fact, Match, Not, Rule, Var
from diagnose.engine.store import Store
from diagnose.engine.supports import Supports

x, y, z = Var("x"), Var("y"), Var("z")


def on(name):
    """Return the fact that something is on."""
    return Fact(name, "is", "on")


def lit(name):
    """Return the condition that something is on."""
    return Match(name, "is", "on")


@pytest.fixture
def work(monkeypatch):
    """Count how many facts stand up or fall and how many rules fire."""
    counted = {"stand": 0, "fire": 0, "_fall": 0, "_take_back": 0}
    for name in counted:
        real = getattr(Supports, name)

        def counting(self, thing, real=real, name=name):
            counted[name] += 1
            real(self, thing)

        monkeypatch.setattr(Supports, name, counting)
    return counted


@pytest.mark.parametrize("n", [1, 10, 3000])
def test_a_chain_of_n_rules_fires_n_times(n):
    """One fact at the head of a chain gives n firings, in the order of the chain, and taking it back leaves nothing."""
    engine = Engine([Rule(f"r{i}", (lit(i),), (on(i + 1),)) for i in range(n)])
    assert [firing.fact.entity for firing in engine.tell(on(0)).fired] == list(range(1, n + 1))
    assert len(engine.withdraw(on(0)).removed) == n + 1
    assert not engine.facts


@pytest.mark.parametrize("n", [1, 10, 1000])
def test_n_rules_on_one_fact_fire_n_times(n):
    """A fact that n rules wait for fires each of them once; a fact that n rules conclude stands once."""
    engine = Engine([Rule(f"r{i}", (lit("all"), lit(i)), (on("goal"),)) for i in range(n)])
    assert not engine.tell(*map(on, range(n))).fired
    change = engine.tell(on("all"))
    assert (len(change.fired), change.added) == (n, (on("all"), on("goal")))


@pytest.mark.parametrize("n", [1, 2, 30])
def test_closure_of_a_path(n):
    """The transitive closure of a path of n steps has n(n+1)/2 pairs, each concluded exactly once."""
    engine = Engine(
        [
            Rule("step", (Match(x, "next", y),), (Fact(x, "before", y),)),
            Rule("far", (Match(x, "before", y), Match(y, "next", z)), (Fact(x, "before", z),)),
        ]
    )
    change = engine.tell(*(Fact(i, "next", i + 1) for i in range(n)))
    assert len(change.fired) == n * (n + 1) // 2
    assert len(set(change.fired)) == len(change.fired)


def test_cutting_a_path_leaves_the_closures_of_both_parts():
    """Without its middle step, a path of 11 has the closure of two paths of 5, and the step brings the rest back."""
    engine = Engine(
        [
            Rule("step", (Match(x, "next", y),), (Fact(x, "before", y),)),
            Rule("far", (Match(x, "before", y), Match(y, "next", z)), (Fact(x, "before", z),)),
        ]
    )
    engine.tell(*(Fact(i, "next", i + 1) for i in range(11)))
    removed = engine.withdraw(Fact(5, "next", 6)).removed
    assert len(removed) == 1 + 66 - 2 * 15
    assert set(engine.tell(Fact(5, "next", 6)).added) == set(removed)


@pytest.mark.parametrize("n", [1, 2, 7, 50])
def test_ladder_of_absences(n):
    """Where each rung stands if the one below does not, every second rung stands, and the lowest turns all of them round."""
    engine = Engine([Rule(f"r{i}", (Not(lit(i)),), (on(i + 1),)) for i in range(n)])
    assert {fact.entity for fact in engine.facts} == set(range(1, n + 1, 2))
    engine.tell(on(0))
    assert {fact.entity for fact in engine.facts} == {0, *range(2, n + 1, 2)}
    engine.withdraw(on(0))
    assert {fact.entity for fact in engine.facts} == set(range(1, n + 1, 2))


def test_a_revised_answer_touches_only_its_cone(work):
    """Among a thousand answers with three conclusions each, changing one touches its own four facts and the new one."""
    rules = [Rule(f"{part}{i}", (lit((part, i)),), (on((part + 1, i)),)) for i in range(1000) for part in range(3)]
    engine = Engine(rules)
    engine.tell(*(on((0, i)) for i in range(1000)))
    work.update(dict.fromkeys(work, 0))
    engine.revise([on((0, 500))], [Fact((0, 500), "is", "off")])
    assert work == {"stand": 1, "fire": 0, "_fall": 4, "_take_back": 3}


@pytest.mark.parametrize("n", [10, 100, 5000])
def test_work_does_not_grow_with_rules_that_do_not_apply(work, n):
    """One answer among n rules on other things costs the same few steps for any n."""
    engine = Engine([Rule(f"r{i}", (lit(i), lit("common")), (on(("c", i)),)) for i in range(n)])
    work.update(dict.fromkeys(work, 0))
    engine.tell(on(3), on("common"))
    engine.withdraw(on(3))
    assert work == {"stand": 3, "fire": 1, "_fall": 2, "_take_back": 1}


@pytest.fixture
def lookups(monkeypatch):
    """Note each fact that a join looks up."""
    noted = []

    class Noting(dict):
        def get(self, key, default=None):
            noted.append(key)
            return dict.get(self, key, default)

    real = Store.__init__

    def noting(self):
        real(self)
        self.records = Noting()

    monkeypatch.setattr(Store, "__init__", noting)
    return noted


def test_joins_look_up_and_do_not_search(lookups):
    """Joining one new fact into 2,000 things by a shared place looks at the things of that place only."""
    both_high = (Match(x, "state", "high"), Match(x, "place", z), Match(y, "place", z), Match(y, "state", "high"))
    engine = Engine([Rule("pair", both_high, (Fact(z, "shared", x),))])
    engine.tell(*(Fact(i, "place", i // 2) for i in range(2000)), *(Fact(i, "state", "high") for i in range(1999)))
    lookups.clear()
    change = engine.tell(Fact(1999, "state", "high"))
    assert len(change.fired) == 3  # itself with itself, and with the other thing both ways
    assert len(lookups) < 20


def test_the_rarer_pattern_is_looked_up_first(lookups):
    """Where 3,000 things share a state and one has the place, the join goes by the place, whichever way the rule is written."""
    high, there = Match(y, "state", "high"), Match(y, "place", z)
    engine = Engine(
        [
            Rule("one", (Match("start", "at", z), high, there), (Fact(z, "met", y),)),
            Rule("two", (Match("start", "at", z), there, high), (Fact(z, "met", y),)),
        ]
    )
    engine.tell(*(Fact(i, "state", "high") for i in range(3000)), Fact(1, "place", "here"))
    lookups.clear()
    assert len(engine.tell(Fact("start", "at", "here")).fired) == 2
    assert len(lookups) < 20
