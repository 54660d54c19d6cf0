"""Closed questions: choose the next check, the first action, the odd reading; put the checks of a start in order."""

from __future__ import annotations

from itertools import combinations
from random import Random
from typing import TYPE_CHECKING, NamedTuple

from diagnose.training import safety
from diagnose.training.open_case import OpenCase
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from diagnose.consultation.next_question import Candidate
    from diagnose.knowledge.model import Case, Knowledge
    from diagnose.training.open_case import Choice

__all__ = ["Option", "Puzzle", "PuzzleMark", "first_action", "mark_puzzle", "next_check"]

_OTHERS = 4  # checks offered beside the best one
_SHOWN = 2  # checks made beforehand, at most
_BEFORE_ACTION = 5  # and before a first action is asked for
AFTER_SAFETY = 0.5  # at most, for a telling check while another may show that the machine must stop
NEEDLESS_CREDIT = 0.5  # for a stop or hold that nothing demanded


class Option(NamedTuple):
    """One answer: what it stands for (an id), its credit 0..1, whether it is dangerous, how a check compares."""

    id: str
    credit: float
    dangerous: bool = False
    choice: Choice | None = None
    stage: int = 0


class Puzzle(NamedTuple):
    """A closed question of a format.

    ``known`` are the findings told, as (id, answer in words); ``table`` rows of a round sheet; ``ordering`` when
    the options are to be put in order; ``because`` are ids that explain the answer.
    """

    format: str
    machine: str
    phase: str
    options: tuple[Option, ...]
    known: tuple[tuple[str, str], ...] = ()
    table: tuple[tuple[str, ...], ...] = ()
    ordering: bool = False
    because: tuple[str, ...] = ()
    case: str = ""
    causes: tuple[str, ...] = ()


class PuzzleMark(NamedTuple):
    """0 to 100, and whether the answer was dangerous."""

    total: float
    unsafe: bool


def mark_puzzle(puzzle: Puzzle, chosen: Sequence[int]) -> PuzzleMark:
    """Mark an answer: the option's credit; of an order, the share of pairs from different stages that stand right."""
    picked = [puzzle.options[at] for at in chosen]
    if not puzzle.ordering:
        credit = picked[0].credit if picked else 0.0
        unsafe = any(one.dangerous for one in picked)
        return PuzzleMark(0.0 if unsafe else 100.0 * credit, unsafe)
    pairs = [(one.stage, then.stage) for one, then in combinations(picked, 2) if one.stage != then.stage]
    return PuzzleMark(100.0 * sum(one < then for one, then in pairs) / len(pairs) if pairs else 0.0, unsafe=False)


def next_check(case: Case, knowledge: Knowledge, seed: str) -> Puzzle:
    """Ask for the next check, after up to two have been made.

    Credit is worth (bits a minute) over the best worth, half of it while a check for safety stands open.
    """
    random = Random(seed)  # noqa: S311 - the same question for the same seed
    opened = _begun(case, knowledge, random.randint(0, _SHOWN))
    best = opened.best()
    if best is None or opened.settled:
        raise DiagnoseError("In this case no check is left that would tell much.")
    others = [one.id for one in opened.left() if one.id != best.finding]
    telling = [name for name in others if opened.compare(name, best).bits > 0]
    chosen = random.sample(telling, min(_OTHERS // 2, len(telling)))
    silent = [name for name in others if name not in chosen]
    chosen += random.sample(silent, min(_OTHERS - len(chosen), len(silent)))
    options = [_check(name, opened, best) for name in (best.finding, *chosen)]
    random.shuffle(options)
    return _about(opened, "next-check", options)


def first_action(case: Case, knowledge: Knowledge, seed: str) -> Puzzle:
    """Ask what to do now: at the first caution the case holds, or after what is reported when it holds none."""
    random = Random(seed)  # noqa: S311 - as above
    opened = _begun(case, knowledge, 0)
    if not _wanted(opened) and random.random() < 0.7:  # noqa: PLR2004 - most questions have something to heed
        for _ in range(_BEFORE_ACTION):
            candidate = None if _wanted(opened) or opened.settled else opened.best()
            if candidate is None:
                break
            opened.look(candidate.finding)
    cautions = knowledge.cautions
    names = opened.situation.cautions()
    wanted = safety.step_for(cautions[name].rank for name in names)
    dangerous = any(cautions[name].rank in safety.DANGEROUS for name in names)
    options = [Option(step, _step_credit(step, wanted), dangerous and _below(step, wanted)) for step in safety.LADDER]
    return _about(opened, "first-action", options, tuple(names))


def _wanted(opened: OpenCase) -> bool:
    ranks = (opened.knowledge.cautions[name].rank for name in opened.situation.cautions())
    return safety.step_for(ranks) != "look"


def _below(step: str, wanted: str) -> bool:
    return safety.LADDER.index(step) < safety.LADDER.index(wanted)


def _step_credit(step: str, wanted: str) -> float:
    if step == wanted or (step == "call" and wanted == "look"):
        return 1.0
    return 0.0 if _below(step, wanted) else NEEDLESS_CREDIT


def _begun(case: Case, knowledge: Knowledge, checks: int) -> OpenCase:
    opened = OpenCase(case, knowledge)
    for _ in range(checks):
        candidate = None if opened.settled else opened.best()
        if candidate is None:
            break
        trial = OpenCase(case, knowledge)
        for name in (*(look.finding for look in opened.looks), candidate.finding):
            trial.look(name)
        if trial.settled or trial.best() is None:
            break
        opened = trial
    return opened


def _check(name: str, opened: OpenCase, best: Candidate) -> Option:
    choice = opened.compare(name, best)
    if name == best.finding:
        return Option(name, 1.0, choice=choice)
    credit = min(1.0, choice.bits / choice.best_bits) if choice.best_bits else 0.0
    return Option(name, AFTER_SAFETY * credit if choice.pressing else credit, choice=choice)


def _about(opened: OpenCase, kind: str, options: Sequence[Option], because: tuple[str, ...] = ()) -> Puzzle:
    from diagnose.consultation.saying import answer_words

    knowledge = opened.knowledge
    known = tuple(
        (name, answer_words(knowledge.findings[name], answer, knowledge)) for name, answer in opened.known.items()
    )
    return Puzzle(
        kind,
        opened.machine.id,
        opened.case.phase,
        tuple(options),
        known,
        because=because,
        case=opened.case.id,
        causes=tuple(sorted(opened.case.true_causes)),
    )
