"""Consultations simulated by the thousand: what is wrong, what the operator says first, and what he answers.

A case is drawn as the rules believe cases come. Machine and phase first; then a complaint, as often as the network
expects it; then what is wrong, by the causes' own odds, again and again until it shows that complaint by the
complaint's own table (which comes to the posterior, without using it). Something not listed is drawn as the network
models it. What each question truly shows, and what is said of it, is drawn when it is put, from the table in force
then, with a number of its own, so that two ways of asking meet the same truth. Answers are words; numbers near a limit
are not simulated. `World` says where cases differ from what the rules believe.

The questions are those of `consultation.next_question` on a `Situation`; nothing is shown and no event kept.
`test_simulated.py` proves that a whole `Session` comes to the same.
"""

from __future__ import annotations

import signal
from bisect import bisect
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache, cached_property
from itertools import accumulate
from math import prod
from multiprocessing import Pool
from operator import mul
from random import Random
from typing import NamedTuple, TypeVar

from diagnose.belief import Belief, Network, Table
from diagnose.belief.sampling import draw_causes
from diagnose.consultation.next_question import Candidate, best, candidates, caution_signs, decided
from diagnose.knowledge import library
from diagnose.knowledge.model import PHASES, Finding, Knowledge
from diagnose.reasoning.compile import fits
from diagnose.reasoning.evidence import subject
from diagnose.reasoning.network import network
from diagnose.reasoning.situation import Said, Situation

PHASE_WEIGHTS = (1, 1, 1, 2, 5, 1)  # of standby to shutdown: most trouble is met under load
NOT_LISTED = ""
CHUNK = 40  # cases of one machine and phase that a process takes at a time
T = TypeVar("T")


class World(NamedTuple):
    """How cases come. By default just as the rules believe; else `wrong` and `silent` are rates for every question.

    `tables` makes what truly happens of what the rules believe, `odds` how often each cause truly comes; with
    `any_sign` the complaint is any abnormal sign of a drawn case, wrong or due to nothing as often as any answer; with
    `not_listed` nothing listed is ever wrong.
    """

    wrong: float | None = None
    silent: float | None = None
    tables: Callable[[str, Table], Table] = lambda _, table: table
    odds: Callable[[str, float], float] = lambda _, odds: odds
    any_sign: bool = False
    not_listed: bool = False


class Case(NamedTuple):
    """What is wrong (nothing for something not listed), and the complaint: the node, its value, and how it is said."""

    number: int
    causes: frozenset[str]
    node: str
    value: str
    said: Said

    @property
    def truths(self) -> frozenset[str]:
        """The rows of the ranking that are right."""
        return self.causes or frozenset([NOT_LISTED])


class Context:
    """One machine in one phase, kept for all cases that meet it."""

    def __init__(self, knowledge: Knowledge, machine: str, phase: str) -> None:
        self.knowledge, self.findings = knowledge, knowledge.findings
        self.desk = Situation(knowledge, knowledge.site.machines[machine], phase)
        self.signs = caution_signs(knowledge)
        self.network: Network = self.desk.belief.network  # with nothing said

    @classmethod
    @cache
    def of(cls, machine: str, phase: str) -> Context:
        """Return a machine of the demo site in a phase, made once in a process."""
        return cls(shipped(), machine, phase)

    def can_notice(self, finding: Finding) -> bool:
        """Tell whether an operator may come with this finding here."""
        features = self.desk.machine.features
        fitting = self.desk.phase in finding.phases and fits(finding.needs, finding.lacks, features)
        return fitting and finding.who == "operator"

    def put(self, node: str) -> str:
        """Return the finding that an operator says a node of the network by; "" when there is none."""
        names = self.findings[node].judged_from if self.findings[node].concluded else (node,)
        return next((name for name in names if self.can_notice(self.findings[name])), "")

    def spoken(self, finding: str, node: str, value: str, *, volunteered: bool = False) -> Said:
        """Return a node's value as it is said of a finding: in the node's words, or in the finding's own, by rank."""
        asked = self.findings[finding]
        if finding != node and not asked.reading:
            value = list(asked.values)[list(self.findings[node].values).index(value)]
        return Said(finding, value, volunteered=volunteered)

    @cached_property
    def complaints(self) -> tuple[list[tuple[str, str]], list[float], list[float]]:
        """Every complaint (node, value), how often the network expects it, and how often where nothing listed is wrong."""
        sources = {name for finding in self.findings.values() for name in finding.judged_from}
        names = [
            name
            for name, finding in self.findings.items()
            if self.put(name) and (name in self.network.findings or (finding.values and name not in sources))
        ]
        causes = self.desk.causes.values()
        made = network(self.knowledge, causes, self.desk.in_force(), names, {})
        belief = Belief(made)
        chances = {name: (belief.predict(name), made.findings[name].said(made.elsewhere(name))) for name in names}
        pairs = [(name, value) for name in names for value in made.findings[name].values[1:]]
        weights = [chances[name][0][value] for name, value in pairs]
        not_listed = [each for name in names for each in chances[name][1][1:]]
        return pairs, weights, not_listed

    def case(self, number: int, random: Random, world: World) -> Case:
        """Draw a case, and stand where its complaint has been made."""
        return self._from_any_sign(number, random, world) if world.any_sign else self._believed(number, random, world)

    def _believed(self, number: int, random: Random, world: World) -> Case:
        pairs, weights, not_listed = self.complaints
        node, value = random.choices(pairs, not_listed if world.not_listed else weights)[0]
        said = self.spoken(self.put(node), node, value, volunteered=True)
        self.desk.begin_again([said])
        return Case(number, self._causes_that_show(random, world), node, value, said)

    def _causes_that_show(self, random: Random, world: World) -> frozenset[str]:
        """Draw causes by their odds until what is said, and all that the rules conclude from it, is shown by them."""
        belief = self.desk.belief
        nodes, truly = belief.network.findings, self._truly(belief.network, world, belief.answers)
        shown = [(truly.findings[node], belief.answers[node]) for node in belief.answers]
        weighed = [
            ([said[value] for value in nodes[node].values], table, truly.elsewhere(node))
            for node, (table, said) in zip(belief.answers, shown, strict=True)
        ]
        elsewhere = prod(_shown(said, other) for said, _, other in weighed)
        most = prod(
            max(_shown(said, each) for each in (table.none, other, *table.alone, *table.together))
            for said, table, other in weighed
        )
        if world.not_listed:
            return frozenset()
        while True:
            causes = draw_causes(truly, random)
            likely = prod(_shown(said, table.given(causes)) for said, table, _ in weighed) if causes else elsewhere
            if causes.isdisjoint(belief.excluded) and random.random() * most < likely:
                return causes

    @staticmethod
    def _truly(believed: Network, world: World, nodes: Iterable[str]) -> Network:
        """Return the network of these nodes as it truly is."""
        odds = {cause: world.odds(cause, each) for cause, each in believed.causes.items()}
        tables = {node: world.tables(node, believed.findings[node]) for node in nodes}
        return Network(odds, tables, believed.not_listed, believed.lifts)

    def _from_any_sign(self, number: int, random: Random, world: World) -> Case:
        made = self.network
        truly = self._truly(made, world, made.findings)
        while True:
            causes = draw_causes(truly, random)
            number += 10_000_000  # other truths for another draw
            operator = Operator(self, Case(number, causes, "", "", Said("")), world)
            signs = []
            for node, table in made.findings.items():
                value = operator.heard(node, table) if self.put(node) else None
                if value not in (None, table.values[0]):
                    signs.append((node, value))
            if signs and causes.isdisjoint(self.desk.belief.excluded):
                node, value = random.choice(signs)
                said = self.spoken(self.put(node), node, value, volunteered=True)
                self.desk.begin_again([said])
                return Case(number, causes, node, value, said)


def _shown(said: Sequence[float], distribution: Sequence[float]) -> float:
    return sum(map(mul, said, distribution))


class Operator:
    """Answers what is asked about one case."""

    def __init__(self, context: Context, case: Case, world: World, seed: int = 0) -> None:
        self.context, self.case, self.world, self.seed = context, case, world, seed
        self.told: dict[str, str] = {}  # node -> what it truly is

    def heard(self, node: str, table: Table) -> str:
        """Return what is said of a node by someone who can tell."""
        random = Random(f"{self.seed} {self.case.number} {node}")
        truly = self.world.tables(node, table)
        causes = self.case.causes
        if not causes:
            alone = Network(self.context.network.causes, {node: truly}, 0.05)
            chances = alone.elsewhere(node)
        else:
            chances = truly.given(causes)
        steps = list(accumulate(chances))
        value = table.values[min(bisect(steps, random.random() * steps[-1]), len(steps) - 1)]
        wrong = table.error if self.world.wrong is None else self.world.wrong
        if random.random() < wrong:
            value = random.choice([one for one in table.values if one != value])
        return value

    def says(self, candidate: Candidate) -> Said | None:
        """Return the answer to a question; None when it cannot be told."""
        context, name = self.context, candidate.finding
        silent = 1.0 - context.findings[name].can_tell if self.world.silent is None else self.world.silent
        if Random(f"{self.seed} {self.case.number} {name} telling").random() < silent:
            return None
        tables = context.desk.belief.network.findings
        if candidate.node not in tables:  # nothing ties it to a cause: it is only looked at, and shows nothing
            node = subject(context.findings[name])
            return context.spoken(name, node, context.findings[node].normal)
        return context.spoken(name, candidate.node, self.heard(candidate.node, tables[candidate.node]))


Policy = Callable[[Context, frozenset[str]], Candidate | None]


def own_question(context: Context, closed: frozenset[str]) -> Candidate | None:
    """Choose as the consultation does."""
    return best(context.desk, context.signs, closed)


def consult(context: Context, operator: Operator, policy: Policy = own_question) -> Iterator[Candidate]:
    """Put questions until the consultation would end; yields each question once it is answered."""
    closed = frozenset(context.desk.said)
    while True:
        candidate = policy(context, closed)
        if candidate is None or decided(context.desk.belief, candidate):
            return
        said = operator.says(candidate)
        closed |= {candidate.finding}
        if said is not None:
            context.desk.say(said)
        yield candidate


def ask_everything(context: Context, operator: Operator) -> int:
    """Put every question there is; return how many."""
    closed = frozenset(context.desk.said)
    asked = 0
    while questions := list(candidates(context.desk, (), closed)):
        answers = [operator.says(candidate) for candidate in questions]
        closed |= {candidate.finding for candidate in questions}
        asked += len(questions)
        told = [said for said in answers if said is not None]
        context.desk.begin_again([*context.desk.said.values(), *told])
    return asked


def contexts_of(knowledge: Knowledge, seed: int, numbers: Iterable[int]) -> dict[tuple[str, str], list[int]]:
    """Share case numbers out over machines and phases, by the seed."""
    shared: dict[tuple[str, str], list[int]] = {}
    for number in numbers:
        random = Random(f"{seed} {number} where")
        key = random.choice(sorted(knowledge.site.machines)), random.choices(PHASES, PHASE_WEIGHTS)[0]
        shared.setdefault(key, []).append(number)
    return shared


def run(
    work: Callable[[Context, Case, Operator], T], seed: int, numbers: Iterable[int], world: str, processes: int
) -> list[T]:
    """Do some work on each case, standing where its complaint has been made, in so many processes.

    The order is mixed, but the same in every run. Interrupted by the keyboard, it returns what has been done so far.
    """
    jobs = [
        (work, seed, *where, world, many[at : at + CHUNK])
        for where, many in contexts_of(shipped(), seed, numbers).items()
        for at in range(0, len(many), CHUNK)
    ]
    Random(seed).shuffle(jobs)
    done: list[T] = []
    with Pool(processes, signal.signal, (signal.SIGINT, signal.SIG_IGN)) as pool:
        try:
            for each in pool.imap(_in_context, jobs):
                done += each
        except KeyboardInterrupt:
            print(f"interrupted after {len(done):,} cases")
    return done


def _in_context(job: tuple[Callable[[Context, Case, Operator], T], int, str, str, str, list[int]]) -> list[T]:
    work, seed, machine, phase, world, numbers = job
    context, done = Context.of(machine, phase), []
    for number in numbers:
        case = context.case(number, Random(f"{seed} {number}"), WORLDS[world])
        done.append(work(context, case, Operator(context, case, WORLDS[world], seed)))
    return done


@cache
def shipped() -> Knowledge:
    """Return the shipped rules with the demo site, read once in a process."""
    return library.load(site=library.demo_site()).knowledge


def _another_word(words: Iterable[float], now: float, random: Random) -> float:
    """Return the word's own number, or as often that of the next word up or down."""
    scale = sorted(words)
    at = min(range(len(scale)), key=lambda step: abs(scale[step] - now)) + random.choice((-1, 0, 0, 1))
    return scale[min(max(at, 0), len(scale) - 1)]


@cache
def _links_off(node: str, table: Table) -> Table:
    words = shipped().scales.frequency.values()
    links = {
        (cause, value): _another_word(words, p, Random(f"{node} {value} {cause}"))
        for (cause, value), p in table.links.items()
    }
    return Table(table.values, table.leak, links, table.error, table.unlisted)


def _odds_off(cause: str, odds: float) -> float:
    scales = shipped().scales.how_common
    own = scales[shipped().causes[cause].how_common]
    return odds * _another_word(scales.values(), own, Random(cause)) / own


_ROUGH = World(wrong=0.05, silent=0.10)
WORLDS = {
    "as believed": World(),
    "any sign": World(any_sign=True),  # the complaint comes like any answer
    "more wrong": _ROUGH,  # five answers in a hundred, and ten questions that cannot be answered
    "more wrong, not listed": _ROUGH._replace(not_listed=True),
    "words off": World(tables=_links_off, odds=_odds_off),  # half of all words of the rules are the next one instead
}
