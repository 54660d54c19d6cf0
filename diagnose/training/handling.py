"""What to do about a cause, by whom and in which order: what is offered to choose from, and how a choice is marked.

Nothing dangerous is invented for the list: what is wrong to do oneself is what the rules give to somebody else.
"""

from __future__ import annotations

from itertools import combinations
from random import Random
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from diagnose.knowledge.model import Action
    from diagnose.training.open_case import OpenCase

__all__ = ["TELL", "Handling", "Offer", "judge", "offers"]

TELL = ("nobody", "supervisor", "maintenance", "both")
_MOST_RIGHT, _MOST_OTHER = 7, 3


class Offer(NamedTuple):
    """Something that may be done.

    ``stage``: 0 what a caution wants at once, 1 what the signs want, 2 what puts the cause right; -1 belongs to
    another cause.
    """

    do: str
    who: str
    stage: int


class Handling(NamedTuple):
    """The mark (0 to 1) and its parts.

    Operator's tasks left out, choices of no use, choices that are somebody else's, pairs in the right order of
    all pairs, and whether the right people were told.
    """

    mark: float
    omitted: tuple[str, ...]
    useless: tuple[str, ...]
    forbidden: tuple[str, ...]
    in_order: float
    told: bool
    to_tell: str


def offers(opened: OpenCase, seed: str) -> tuple[Offer, ...]:
    """Return what may be chosen for this case, shuffled the same way for the same seed."""
    right = list(_distinct(_right(opened)))
    shown = _balanced(right)
    known = {one.do for one in right}
    others = [one for one in _distinct(_others(opened)) if one.do not in known]
    random = Random(seed)  # noqa: S311 - a shuffle, the same for the same seed
    chosen = [*shown, *random.sample(others, min(_MOST_OTHER, len(others)))]
    random.shuffle(chosen)
    return tuple(chosen)


def judge(offered: Sequence[Offer], own: Sequence[int], tell: str, *, call: bool) -> Handling:
    """Mark what a trainee does himself, in his order, and whom he tells; ``call``: the supervisor must know."""
    chosen = [offered[at] for at in own]
    mine = [one for one in offered if one.stage >= 0 and one.who == "operator"]
    done = [one for one in chosen if one in mine]
    omitted = tuple(one.do for one in mine if one not in done)
    forbidden = tuple(one.do for one in chosen if one.who != "operator")
    useless = tuple(one.do for one in chosen if one.who == "operator" and one.stage < 0)
    order = _in_order(done)
    covered = len(done) / len(mine) if mine else 1.0
    efficient = len(done) / len(chosen) if chosen else 1.0
    wanted = _to_tell(offered, call=call)
    told = tell in {wanted, "both"}
    mark = 0.75 * covered * efficient * (0.5 + 0.5 * order) + 0.25 * told
    return Handling(mark, omitted, useless, forbidden, order, told, wanted)


def _to_tell(offered: Sequence[Offer], *, call: bool) -> str:
    hands_over = any(one.who == "maintenance" and one.stage >= 0 for one in offered)
    if call or any(one.who == "supervisor" and one.stage >= 0 for one in offered):
        return "both" if hands_over else "supervisor"
    return "maintenance" if hands_over else "supervisor"


def _in_order(done: Sequence[Offer]) -> float:
    """Return the share of pairs from different stages that stand in the right order; 1 when there is no such pair."""
    pairs = [(first.stage, then.stage) for first, then in combinations(done, 2) if first.stage != then.stage]
    return sum(first < then for first, then in pairs) / len(pairs) if pairs else 1.0


def _balanced(right: list[Offer]) -> list[Offer]:
    """Keep a list short: the first of each stage before the second of any."""
    by_stage = [[one for one in right if one.stage == stage] for stage in range(3)]
    turns = [row[at] for at in range(len(right)) for row in by_stage if at < len(row)]
    return turns[:_MOST_RIGHT]


def _right(opened: OpenCase) -> Iterator[Offer]:
    knowledge = opened.knowledge
    for name in opened.situation.cautions():
        yield Offer(knowledge.cautions[name].do, "operator", 0)
    for rule in opened.situation.applying():
        yield from _offered(rule.actions, 1)
    for cause in sorted(opened.case.true_causes):
        yield from _offered(knowledge.causes[cause].put_right, 2)


def _others(opened: OpenCase) -> Iterator[Offer]:
    causes = opened.knowledge.causes
    for cause, _ in opened.situation.ranking():
        if cause and cause not in opened.case.true_causes:
            yield from _offered(causes[cause].put_right, -1)


def _offered(actions: Iterable[Action], stage: int) -> Iterator[Offer]:
    for action in actions:
        yield Offer(action.do, action.who, stage)


def _distinct(rows: Iterable[Offer]) -> Iterator[Offer]:
    seen: set[str] = set()
    for one in rows:
        if one.do not in seen:
            seen.add(one.do)
            yield one
