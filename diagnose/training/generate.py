"""New cases drawn from the rule base: causes by how common they are, findings by how often the causes show them.

A case is kept when it does not contradict itself, its numbers are physically possible, its answers fit each other no
worse than chance, the program's own questions find its causes first within the budget, and its measured difficulty
is the wanted one. The same seed gives the same cases.
"""

from __future__ import annotations

from random import Random
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation.next_question import caution_signs
from diagnose.knowledge.model import PHASES, Case, Expectation
from diagnose.reasoning.network import active_causes
from diagnose.reasoning.situation import Said, Situation
from diagnose.training import difficulty
from diagnose.training.open_case import ambiguity, walk
from diagnose.training.physics import impossible
from diagnose.training.readings import as_read
from diagnose.values.problem import DiagnoseError, Place

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.belief import Table
    from diagnose.knowledge.model import Knowledge, Machine
    from diagnose.training.difficulty import Difficulty

__all__ = ["BUDGET", "Made", "Wish", "make"]

BUDGET = {"easy": 5, "middle": 8, "hard": 10}  # checks within which the causes must come first
_TWO_FAULTS = {"easy": 0.0, "middle": 0.05, "hard": 0.35}
_MISLEADING = {"easy": 0, "middle": 1, "hard": 2}  # at most
_OPEN = {"easy": (0.0, 2.4), "middle": (1.5, 3.9), "hard": (2.8, 99.0)}  # bits that the sign noticed first leaves open
_PHASE_WEIGHTS = (1, 1, 1, 2, 5, 1)
_ROUNDS = 3
_TRIES = 400
_SYMPTOMS = 6  # presenting symptoms compared for a draw
_CONFLICT = 0.0  # bits: above this the answers fit each other worse than chance (Jensen)


class Wish(NamedTuple):
    """What cases are wanted: any machine, phase or subsystem where it is empty."""

    difficulty: str = "middle"
    machine: str = ""
    phase: str = ""
    subsystem: str = ""


class Made(NamedTuple):
    """A made case with its measured difficulty."""

    case: Case
    difficulty: Difficulty


def make(knowledge: Knowledge, wish: Wish, seed: int, count: int, after: int = 0) -> Iterator[Made]:
    """Yield the cases up to number ``count``, those ``after`` a number.

    Raises DiagnoseError when the wish can hardly be met.
    """
    maker = _Maker(knowledge, wish)
    for number in range(after + 1, count + 1):
        random = Random(f"{seed} {number} {'/'.join(wish)}")  # noqa: S311 - to be repeated, not kept secret
        for _ in range(_TRIES):
            made = maker.attempt(random, f"practice-{seed}-{number}")
            if made:
                yield made
                break
        else:
            mend = "Wish for less: leave out the subsystem, the phase, or take another difficulty."
            raise DiagnoseError(f"No {wish.difficulty} case like that came up in {_TRIES} draws.", mend=mend)


class _Maker:
    """Draws one case after another.

    One situation is kept for each machine and phase and used for one thing after another: to build one takes long.
    """

    def __init__(self, knowledge: Knowledge, wish: Wish) -> None:
        self._knowledge, self._wish = knowledge, wish
        self._signs = caution_signs(knowledge)
        self._situations: dict[tuple[str, str], Situation] = {}

    def attempt(self, random: Random, name: str) -> Made | None:
        """Draw a case; None when it is not one to keep."""
        wish, machines = self._wish, self._knowledge.site.machines
        machine = machines[wish.machine or random.choice(sorted(machines))]
        phase = wish.phase or random.choices(PHASES, _PHASE_WEIGHTS)[0]
        causes = self._causes(machine, phase, random)
        shown = self._shown(machine, phase, causes, random) if causes else {}
        reported = self._reported(machine, phase, causes, shown, random) if shown else ""
        if not reported:
            return None
        case = _case(name, machine, phase, causes, reported, shown, self._knowledge, BUDGET[wish.difficulty])
        return self._checked(case)

    def _checked(self, case: Case) -> Made | None:
        """Keep a case that the program's own questions solve, whose answers fit, and that is as hard as wished."""
        used = self._situations[case.machine, case.phase]
        walked = walk(case, self._knowledge, case.expect.within_questions, self._signs, used)
        measured = difficulty.measure(walked)
        situation = walked.situation
        leading = {cause for cause, _ in situation.ranking()[: len(case.true_causes)]}
        if leading != case.true_causes or difficulty.band(measured) != self._wish.difficulty:
            return None
        if situation.contradictions() or situation.belief.conflict() > _CONFLICT:
            return None
        cautions = {*walked.first_cautions, *(one for look in walked.looks for one in look.cautions)}
        return Made(case._replace(must_caution=frozenset(cautions)), measured)

    def _causes(self, machine: Machine, phase: str, random: Random) -> frozenset[str]:
        """Draw one or two causes that this machine can have in this phase, by how common they are."""
        wish, scales = self._wish, self._knowledge.scales
        possible = active_causes(self._knowledge, machine, phase)
        odds = {name: scales.how_common[cause.how_common] for name, cause in possible.items()}
        first = [name for name, cause in possible.items() if wish.subsystem in ("", cause.subsystem)]
        if not first:
            return frozenset()
        chosen = random.choices(first, [odds[name] for name in first])
        if random.random() < _TWO_FAULTS[wish.difficulty]:
            chosen += random.choices(list(possible), list(odds.values()))
        return frozenset(chosen)

    def _shown(self, machine: Machine, phase: str, causes: frozenset[str], random: Random) -> dict[str, str]:
        """Draw what is abnormal: node -> value; nothing when it could not all be true at once.

        Rules that only what is shown brings in force are drawn from in turn.
        """
        shown: dict[str, str] = {}
        drawn: set[str] = set()
        situation = self._blank(machine, phase)
        for _ in range(_ROUNDS):
            new = {node: table for node, table in situation.belief.network.findings.items() if node not in drawn}
            drawn |= set(new)
            came = {node: _draw(table, causes, random) for node, table in new.items() if self._can_be_said(node)}
            came = {node: value for node, value in came.items() if value}
            for node, value in came.items():
                situation.say(Said(node, value))
            shown |= came
            if not came:
                break
        if shown:
            self._mislead(situation, shown, causes, random)
        return shown if _hangs_together(situation, causes, shown) else {}

    def _mislead(self, situation: Situation, shown: dict[str, str], causes: frozenset[str], random: Random) -> None:
        """Add a sign or two that has nothing to do with the causes, as a hard case may have."""
        tables = situation.belief.network.findings
        free = [
            node
            for node, table in tables.items()
            if node not in shown and self._can_be_said(node) and causes.isdisjoint(table.parents)
        ]
        many = random.randint(0, _MISLEADING[self._wish.difficulty])
        for node in random.sample(sorted(free), min(len(free), many)):
            shown[node] = random.choices(list(tables[node].leak), list(tables[node].leak.values()))[0]
            situation.say(Said(node, shown[node]))

    def _reported(
        self, machine: Machine, phase: str, causes: frozenset[str], shown: Mapping[str, str], random: Random
    ) -> str:
        """Choose what is noticed first: a clear sign of the causes for an easy case, the vaguest for a hard one."""
        blank = self._blank(machine, phase)
        tables = blank.belief.network.findings
        signs = [
            node
            for node in shown
            if node in tables and not causes.isdisjoint(tables[node].parents) and self._is_seen(blank, node)
        ]
        signs = random.sample(sorted(signs), min(_SYMPTOMS, len(signs)))
        random.shuffle(signs)
        left_open = {node: _left_open(blank, node, shown[node]) for node in signs}
        low, high = _OPEN[self._wish.difficulty]
        fitting = [node for node in signs if low <= left_open[node] + len(causes) - 1 <= high]
        if self._wish.difficulty == "hard":
            return max(fitting, key=lambda node: left_open[node], default="")
        return fitting[0] if fitting else ""

    def _blank(self, machine: Machine, phase: str) -> Situation:
        """Return the situation of this machine and phase with nothing said."""
        kept = self._situations.get((machine.id, phase))
        if kept is None:
            kept = self._situations[machine.id, phase] = Situation(self._knowledge, machine, phase)
        else:
            kept.begin_again()
        return kept

    def _is_seen(self, blank: Situation, node: str) -> bool:
        findings = self._knowledge.findings
        return any(blank.askable(findings[one]) for one in findings[node].judged_from or (node,))

    def _can_be_said(self, node: str) -> bool:
        finding = self._knowledge.findings[node]
        return finding.who == "operator" and (not finding.concluded or bool(finding.judged_from))


def _draw(table: Table, causes: frozenset[str], random: Random) -> str:
    """Return the abnormal value that the causes show this time; "" for none. Nothing is shown without a cause."""
    linked = dict.fromkeys(table.values[1:], 1.0)
    for (cause, value), probability in table.links.items():
        if cause in causes:
            linked[value] *= 1.0 - probability
    for value in sorted(linked, key=lambda one: (linked[one], one)):
        if random.random() < 1.0 - linked[value]:
            return value
    return ""


def _hangs_together(situation: Situation, causes: frozenset[str], shown: Mapping[str, str]) -> bool:
    """Tell whether all that is shown can be true at once: no contradiction, no hard logic broken."""
    if not shown or situation.contradictions() or not causes.isdisjoint(situation.belief.excluded):
        return False
    return all(situation.values(node) == {value} for node, value in shown.items())


def _left_open(blank: Situation, node: str, value: str) -> float:
    """Return the bits that the sign alone leaves open; the situation is blank again afterwards."""
    blank.say(Said(node, value, volunteered=True))
    bits = ambiguity(dict(blank.ranking()))
    blank.unsay(node)
    return bits


def _case(
    name: str,
    machine: Machine,
    phase: str,
    causes: frozenset[str],
    reported: str,
    shown: Mapping[str, str],
    knowledge: Knowledge,
    budget: int,
) -> Case:
    answers = {node: value for node, value in shown.items() if node != reported}
    read = _readings(knowledge, machine, phase, answers)
    return Case(
        id=name,
        title=name.replace("-", " ").capitalize(),
        machine=machine.id,
        profile=None,
        phase=phase,
        reported=MappingProxyType({reported: shown[reported]}),
        answers=MappingProxyType(read),
        others=MappingProxyType({}),
        unlisted="normal",
        true_causes=causes,
        accept=(),
        must_caution=frozenset(),
        must_not_caution=frozenset(),
        expect=Expectation(rank=1, within_questions=budget),
        teaches="",
        source="common practice",
        place=Place(f"{name}.yaml", 1, 1),
    )


def _readings(knowledge: Knowledge, machine: Machine, phase: str, answers: Mapping[str, str]) -> dict[str, str]:
    """Return the answers with numbers for words where the machine has limits; all in words when they cannot all be."""
    told, numbers = as_read(knowledge, machine, answers)
    return dict(answers) if impossible(numbers, running=phase in ("run-up", "loaded")) else told
