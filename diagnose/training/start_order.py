"""The checks of a start, to be put in order: what comes in an earlier stage must stand before what comes later."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from diagnose.reasoning.compile import fits
from diagnose.training.puzzles import Option, Puzzle
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from diagnose.knowledge.model import Check, Knowledge, Machine

__all__ = ["start_order"]

_MOST = 6
_STAGES = ("pre-start", "warm-up", "run-up", "loaded")
_FEWEST = 3


def start_order(knowledge: Knowledge, machine: Machine, seed: str) -> Puzzle:
    """Ask for the order of some checks of this machine's start. Raises DiagnoseError when the rules hold too few."""
    random = Random(seed)  # noqa: S311 - the same question for the same seed
    fitting = [one for one in knowledge.checks.values() if fits(one.needs, one.lacks, machine.features)]
    by_stage = [[one for one in fitting if one.stage == stage] for stage in _STAGES]
    stages = [row for row in by_stage if row]
    if len(stages) < 2 or len(fitting) < _FEWEST:  # noqa: PLR2004 - an order needs two stages
        raise DiagnoseError(f"The rules hold too few checks of a start for {machine.id}.")
    for row in stages:
        random.shuffle(row)
    turns = [row[at] for at in range(max(map(len, stages))) for row in stages if at < len(row)]
    options = [_option(one) for one in turns[:_MOST]]
    random.shuffle(options)
    return Puzzle("start-order", machine.id, "pre-start", tuple(options), ordering=True)


def _option(check: Check) -> Option:
    return Option(check.id, 0.0, stage=_STAGES.index(check.stage))
