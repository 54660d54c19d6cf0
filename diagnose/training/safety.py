"""Safety before curiosity: what the cautions in force demand at once, and whether the trainee did it in time.

The answers to "what now?" form a ladder; each step covers those below it. A caution demands its step before the next
check is made. Practice of patient-management problems: errors of omission and of commission are counted apart, and a
dangerous one outweighs all else (McGuire and Babbott 1967).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from diagnose.knowledge.model import Caution

__all__ = ["LADDER", "Act", "Demand", "Safety", "demands", "judge", "step_for"]

LADDER = ("look", "call", "hold", "stop")
_STEPS = {"watch": "look", "call-supervisor": "call", "do-not-start": "hold", "stop-now": "stop"}
DANGEROUS = ("stop-now", "do-not-start")  # missing one of these makes the case unsafe
LATE = 0.5  # credit for what was done, but after another check
NEEDLESS = 0.25  # off for a machine stopped or held that nothing demanded; calling somebody is never too much


class Act(NamedTuple):
    """A step of the ladder, taken after so many checks."""

    step: str
    after: int


class Demand(NamedTuple):
    """A caution that came in force after so many checks, what it demands, and how it was met: in-time, late, missed."""

    caution: str
    rank: str
    step: str
    arose: int
    met: str


class Safety(NamedTuple):
    """The mark (0 to 1), each demand, whether a stop or hold was needless, and whether something dangerous was left."""

    mark: float
    demands: tuple[Demand, ...]
    needless: bool
    dangerous: bool


def step_for(ranks: Iterable[str]) -> str:
    """Return the step that cautions of these ranks demand together.

    >>> step_for(["watch", "do-not-start", "call-supervisor"])
    'hold'
    """
    return max((_STEPS[rank] for rank in ranks), key=LADDER.index, default="look")


def demands(arose: Sequence[Iterable[str]], cautions: Mapping[str, Caution], acts: Sequence[Act]) -> list[Demand]:
    """Return what the cautions demanded. ``arose[k]`` came in force with the k-th check; 0 is the report."""
    rows = []
    for at, names in enumerate(arose):
        for name in names:
            step = _STEPS[cautions[name].rank]
            if step != "look":
                rows.append(Demand(name, cautions[name].rank, step, at, _met(step, at, acts)))
    return rows


def judge(demanded: Sequence[Demand], acts: Sequence[Act]) -> Safety:
    """Mark what was done against what was demanded."""
    highest = max((LADDER.index(act.step) for act in acts), default=0)
    wanted = max((LADDER.index(one.step) for one in demanded), default=0)
    needless = highest > max(wanted, LADDER.index("call"))
    credit = {"in-time": 1.0, "late": LATE, "missed": 0.0}
    mark = sum(credit[one.met] for one in demanded) / len(demanded) if demanded else 1.0
    dangerous = any(one.met == "missed" and one.rank in DANGEROUS for one in demanded)
    return Safety(max(0.0, mark - NEEDLESS * needless), tuple(demanded), needless, dangerous)


def _met(step: str, arose: int, acts: Sequence[Act]) -> str:
    enough = [act.after for act in acts if LADDER.index(act.step) >= LADDER.index(step)]
    if not enough:
        return "missed"
    return "in-time" if min(enough) <= arose else "late"
