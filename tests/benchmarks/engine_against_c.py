"""The engine beside a rule engine written in C: the same rules, the same answers, in one process, turn by turn.

    python tests/benchmarks/engine_against_c.py            all sizes
    python tests/benchmarks/engine_against_c.py --quick    up to 1,000 rules

Both keep truth maintained: in the C engine every premise stands in ``(logical ...)``. Firings are counted on both sides and must
be equal before any time is compared. Times are processor time, medians over rounds in which the two take turns, so that a slow
spell of the computer hits both. A ratio above 1 means that this engine is so many times faster.
"""

from __future__ import annotations

import argparse
import gc
import math
import random
import statistics
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from diagnose.engine import Engine, Fact, Guard, Match, Rule, Var
from diagnose.engine.supports import Supports

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

Stream = list[tuple[tuple[Fact, ...], tuple[Fact, ...]]]  # (taken back, told), step by step


class InC:
    """The C engine under the same three verbs."""

    def __init__(self, rules: Iterable[Rule]) -> None:
        import clips

        self._clips = clips
        self._environment = clips.Environment()
        self._environment.build("(deftemplate fact (slot e) (slot a) (slot v))")
        self._template = self._environment.find_template("fact")
        self._facts: dict[Fact, object] = {}
        for rule in rules:
            self._environment.build(_in_c(rule))

    def revise(self, out: Iterable[Fact], in_: Iterable[Fact]) -> int:
        """Take back, tell, run; return the number of firings."""
        for fact in out:
            self._facts.pop(fact).retract()  # type: ignore[attr-defined]
        for fact in in_:
            entity, attribute, value = fact
            self._facts[fact] = self._template.assert_fact(e=entity, a=attribute, v=value)
        return self._environment.run()

    def count(self) -> int:
        """Return the number of facts that stand."""
        return sum(1 for _ in self._environment.facts())


class Ours:
    """This engine under the same three verbs."""

    def __init__(self, rules: Iterable[Rule]) -> None:
        self._engine = Engine(rules)

    def revise(self, out: Iterable[Fact], in_: Iterable[Fact]) -> None:
        """Take back, tell, settle."""
        self._engine.revise(out, in_)

    def count(self) -> int:
        """Return the number of facts that stand."""
        return len(self._engine.facts)


def _in_c(rule: Rule) -> str:
    matches = [each for each in rule.when if isinstance(each, Match)]
    when = " ".join(f"(fact (e {_term(m.entity)}) (a {_term(m.attribute)}) (v {_term(m.value)}))" for m in matches)
    guards = " ".join(f"(test (neq {_term(g.left)} {_term(g.right)}))" for g in rule.when if isinstance(g, Guard))
    then = " ".join(
        f"(assert (fact (e {_term(h.entity)}) (a {_term(h.attribute)}) (v {_term(h.value)})))" for h in rule.then
    )
    return f"(defrule {rule.id} (logical {when}) {guards} => {then})"


def _term(thing: object) -> str:
    return f"?{thing.name}" if isinstance(thing, Var) else f'"{thing}"' if isinstance(thing, str) else str(thing)


@dataclass(frozen=True)
class Task:
    """Rules and a stream of answers; ``needs`` is the least ratio asked for."""

    name: str
    size: int
    rules: list[Rule]
    stream: Stream
    needs: float


def answers(count: int, seed: int, *, sparse: bool) -> Task:
    """Build ``count`` rules without variables, as many conclusions as questions, and a stream of new and changed answers."""
    rng = random.Random(seed)
    questions = max(20, count // (4 if sparse else 20))
    rules = []
    for number in range(count):
        concluded = rng.randrange(questions)
        asked = [Match(f"q{rng.randrange(questions)}", "is", rng.choice("abc")) for _ in range(rng.randint(1, 2))]
        if concluded and rng.random() < 0.5:
            asked.append(Match(f"c{rng.randrange(concluded)}", "is", "true"))
        rules.append(Rule(f"r{number}", tuple(dict.fromkeys(asked)), (Fact(f"c{concluded}", "is", "true"),)))
    stream: Stream = []
    said: dict[str, Fact] = {}
    for _ in range(60):
        question = f"q{rng.randrange(questions)}"
        fact = Fact(question, "is", rng.choice("abc"))
        if said.get(question) != fact:
            stream.append(((said[question],) if question in said else (), (fact,)))
            said[question] = fact
    for question in rng.sample(sorted(said), min(20, len(said))):  # changed answers
        fact = Fact(question, "is", rng.choice([v for v in "abc" if v != said[question].value]))
        stream.append(((said[question],), (fact,)))
        said[question] = fact
    return Task(f"answers, {'sparse' if sparse else 'dense'}", count, rules, stream, 1.0)


def chain(size: int) -> Task:
    """One answer, and ``size`` conclusions one from another; then it is taken back, and given again."""
    rules = [Rule(f"r{n}", (Match(f"n{n}", "is", "on"),), (Fact(f"n{n + 1}", "is", "on"),)) for n in range(size)]
    start = (Fact("n0", "is", "on"),)
    return Task("chain", size, rules, [((), start), (start, ()), ((), start)], 0.0)


def fan_in(size: int) -> Task:
    """``size`` rules that all wait for the same answer beside one of their own."""
    rules = [
        Rule(f"r{n}", (Match("all", "is", "on"), Match(f"n{n}", "is", "on")), (Fact(f"c{n}", "is", "on"),))
        for n in range(size)
    ]
    own = tuple(Fact(f"n{n}", "is", "on") for n in range(size))
    switch = (Fact("all", "is", "on"),)
    return Task("fan-in", size, rules, [((), own), ((), switch), (switch, ()), ((), switch)], 0.0)


def closure(size: int) -> Task:
    """Build the transitive closure of a path of ``size`` steps: size * (size + 1) / 2 firings."""
    x, y, z = Var("x"), Var("y"), Var("z")
    rules = [
        Rule("step", (Match(x, "next", y),), (Fact(x, "before", y),)),
        Rule("far", (Match(x, "before", y), Match(y, "next", z)), (Fact(x, "before", z),)),
    ]
    return Task("closure", size, rules, [((), tuple(Fact(n, "next", n + 1) for n in range(size)))], 0.1)


def join(size: int) -> Task:
    """Pairs of two different things that share a place and a state, among ``size`` things; then some states change."""
    a, b, place = Var("a"), Var("b"), Var("place")
    rules = [
        Rule(
            "pair",
            (
                Match(a, "state", "high"),
                Match(a, "place", place),
                Match(b, "place", place),
                Match(b, "state", "high"),
                Guard(a, "differs", b),
            ),
            (Fact(place, "shared", "true"),),
        )
    ]
    things = [Fact(f"m{n}", "place", f"p{n // 5}") for n in range(size)]
    states = [Fact(f"m{n}", "state", "high") for n in range(size)]
    stream: Stream = [((), tuple(things)), ((), tuple(states))]
    stream += [((fact,), ()) for fact in states[:: max(1, size // 50)]]
    stream += [((), (fact,)) for fact in states[:: max(1, size // 50)]]
    return Task("join", size, rules, stream, 0.1)


def revise(size: int) -> Task:
    """``size`` answers, each with a chain of three conclusions; then every tenth answer changes."""
    rules = []
    for n in range(size):
        rules += [
            Rule(f"a{n}", (Match(f"q{n}", "is", "yes"),), (Fact(f"x{n}", "is", "on"),)),
            Rule(f"b{n}", (Match(f"x{n}", "is", "on"),), (Fact(f"y{n}", "is", "on"),)),
            Rule(f"c{n}", (Match(f"y{n}", "is", "on"),), (Fact(f"z{n}", "is", "on"),)),
        ]
    yes = [Fact(f"q{n}", "is", "yes") for n in range(size)]
    stream: Stream = [((), tuple(yes))]
    stream += [((fact,), (fact._replace(value="no"),)) for fact in yes[::10]]
    return Task("revise", size, rules, stream, 0.0)


def timed(engine: InC | Ours, stream: Stream) -> float:
    """Run a stream; return the seconds of processor time that it took."""
    begun = time.process_time()
    for out, in_ in stream:
        engine.revise(out, in_)
    return time.process_time() - begun


def checked(in_c: InC, ours: Ours, stream: Stream) -> int:
    """Run a stream on both; exit unless each step fires as often and leaves as many facts. Return the firings.

    This engine does not report as news what is taken back and concluded again within a step, but it is counted here.
    """
    counted: list[object] = []
    fire = Supports.fire
    Supports.fire = lambda self, activation: (counted.append(1), fire(self, activation))[1]  # type: ignore[method-assign]
    try:
        for number, (out, in_) in enumerate(stream):
            before = len(counted)
            ours.revise(out, in_)
            pair, facts = (len(counted) - before, in_c.revise(out, in_)), (ours.count(), in_c.count())
            if pair[0] != pair[1] or facts[0] != facts[1]:
                sys.exit(f"step {number}: {pair[0]} firings here and {pair[1]} in C, {facts[0]} facts and {facts[1]}")
    finally:
        Supports.fire = fire  # type: ignore[method-assign]
    return len(counted)


def back(stream: Stream) -> tuple[Fact, ...]:
    """Return what stands told when the stream is over."""
    told: dict[Fact, None] = {}
    for out, in_ in stream:
        for fact in out:
            told.pop(fact, None)
        told.update(dict.fromkeys(in_))
    return tuple(told)


@dataclass(frozen=True)
class Row:
    """One line of the table."""

    task: Task
    build_c: float
    build: float
    c: float
    ours: float
    best_c: float
    best: float
    ratios: list[float]
    firings: int


def compare(task: Task, rounds: int) -> Row:
    """Run a task on both engines in turn. Exits when they do not fire alike."""
    begun = time.process_time()
    in_c = InC(task.rules)
    build_c = time.process_time() - begun
    begun = time.process_time()
    ours = Ours(task.rules)
    build = time.process_time() - begun
    times: dict[str, list[float]] = {"c": [], "ours": []}
    rest = back(task.stream)
    firings = checked(in_c, ours, task.stream)
    gc.collect()
    gc.freeze()  # what stands before the clock starts is no business of the collector
    for _ in range(rounds):
        for engine in (in_c, ours):
            engine.revise(rest, ())
        times["c"].append(timed(in_c, task.stream))
        times["ours"].append(timed(ours, task.stream))
    ratios = [c / own for c, own in zip(times["c"], times["ours"], strict=True)]
    gc.unfreeze()
    c, own = statistics.median(times["c"]), statistics.median(times["ours"])
    return Row(task, build_c, build, c, own, min(times["c"]), min(times["ours"]), ratios, firings)


def slope(works: list[int], times: list[float]) -> float:
    """Return the slope of time over work on log scales, by least squares."""
    xs, ys = list(map(math.log, works)), list(map(math.log, times))
    mean_x, mean_y = statistics.fmean(xs), statistics.fmean(ys)
    return sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True)) / sum((x - mean_x) ** 2 for x in xs)


def tasks(*, quick: bool) -> Iterator[Task]:
    """Yield every task, small to large."""
    for size in (100, 1_000) if quick else (100, 1_000, 10_000, 100_000):
        if size <= 10_000:  # the C engine takes many minutes to load 100,000 rules on 50,000 different things
            yield answers(size, 1, sparse=True)
        yield answers(size, 2, sparse=False)
    for size in (100, 1_000) if quick else (100, 1_000, 10_000):
        yield chain(size)
        yield fan_in(size)
        yield revise(size // 10)
        yield join(size)
    for size in (20, 60) if quick else (20, 60, 200):
        yield closure(size)


def main() -> None:
    """Print the table; exit with 1 if something promised does not hold."""
    parser = argparse.ArgumentParser(description="The engine beside one written in C.")
    parser.add_argument("--quick", action="store_true", help="only small sizes")
    parser.add_argument("--rounds", type=int, default=7)
    parser.add_argument("--only", default="", help="only tasks whose name begins so")
    options = parser.parse_args()
    print(
        f"{'task':18} {'size':>7} {'firings':>8} {'steps':>6} {'C us/step':>10} {'ours us/step':>13} {'ratio':>6} {'worst':>6} "
        f"{'build C s':>10} {'ours':>6}"
    )
    rows, failed = [], []
    for task in tasks(quick=options.quick):
        if not task.name.startswith(options.only):
            continue
        row = compare(task, options.rounds)
        rows.append(row)
        steps, ratio = len(task.stream), statistics.median(row.ratios)
        print(
            f"{task.name:18} {task.size:7} {row.firings:8} {steps:6} {row.c / steps * 1e6:10.1f} {row.ours / steps * 1e6:13.1f} "
            f"{ratio:6.2f} {min(row.ratios):6.2f} {row.build_c:10.2f} {row.build:6.2f}",
            flush=True,
        )
        if ratio < task.needs:
            failed.append(f"{task.name} {task.size}: ratio {ratio:.2f} is under {task.needs}")
    for name in ("chain", "fan-in", "revise", "closure"):
        chosen = [row for row in rows if row.task.name == name]
        if not chosen:
            continue
        works = [row.firings for row in chosen]
        steep, steep_c = slope(works, [row.best for row in chosen]), slope(works, [row.best_c for row in chosen])
        print(f"slope of {name} over firings: {steep:.2f}, in C {steep_c:.2f}")
        if steep > max(1.1, steep_c):  # beyond the processor's cache both pay for memory
            failed.append(f"slope of {name} is {steep:.2f}, over 1.1 and over that in C")
    sys.exit("\n".join(failed) if failed else 0)


if __name__ == "__main__":
    main()
