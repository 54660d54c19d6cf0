"""What changes for people between two sets of rules: verdicts, cautions, rankings, questions, actions; worst first."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, NamedTuple

from diagnose.planning.ambiguity import ambiguities

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.knowledge.model import Knowledge
    from diagnose.planning.case_run import Run

__all__ = ["KINDS", "Change", "Comparison", "compared"]

KINDS = (
    "caution lost",
    "now fails",
    "rank",
    "leading cause",
    "caution new",
    "now passes",
    "actions",
    "questions",
    "shift",
)
"""In the order of their weight for people."""
_SHIFT = 0.05  # a change of the probabilities by less than this nobody notices


class Change(NamedTuple):
    """One change of one case: its kind, what changed, and by how much (probability moved, 0 to 1)."""

    case: str
    kind: str
    says: str
    shift: float


class Comparison(NamedTuple):
    """All changes, worst kind first; the things added, removed and changed; the pairs newly hard to tell apart."""

    changes: tuple[Change, ...]
    counts: Mapping[str, int]
    things: tuple[str, ...]
    ambiguous: tuple[str, ...]
    cases: int
    before: tuple[int, int]  # cases passed, and with the true cause first
    after: tuple[int, int]


def compared(
    before: Knowledge, after: Knowledge, runs_before: Mapping[str, Run], runs_after: Mapping[str, Run]
) -> Comparison:
    """Compare two sets of rules by what came of the same cases under each."""
    changes = [
        change
        for name, old in runs_before.items()
        for change in _changes(old, runs_after[name])
        if runs_after[name] != old
    ]
    changes.sort(key=lambda one: (KINDS.index(one.kind), -one.shift, one.case))
    old_pairs = {pair.causes for pair in ambiguities(before)}
    new = [pair for pair in ambiguities(after) if pair.causes not in old_pairs]
    return Comparison(
        tuple(changes),
        Counter(one.kind for one in changes),
        tuple(_things(before, after)),
        tuple(f"{pair.causes[0]} and {pair.causes[1]} are now hard to tell apart: {pair.mend}" for pair in new),
        len(runs_before),
        _figures(runs_before),
        _figures(runs_after),
    )


def shift(old: Run, new: Run) -> float:
    """Return how much probability moved between the causes: half the sum of all differences, 0 to 1."""
    mine, its = dict(old.ranking), dict(new.ranking)
    return sum(abs(mine.get(one, 0.0) - its.get(one, 0.0)) for one in mine.keys() | its.keys()) / 2


def _figures(runs: Mapping[str, Run]) -> tuple[int, int]:
    return sum(run.passed for run in runs.values()), sum(run.rank == 1 for run in runs.values())


def _changes(old: Run, new: Run) -> Iterator[Change]:
    moved = shift(old, new)

    def change(kind: str, says: str) -> Change:
        return Change(old.case, kind, says, moved)

    if old.passed and not new.passed:
        yield change("now fails", new.failed or "; ".join(new.complaints))
    if new.passed and not old.passed:
        yield change("now passes", "")
    for kind, lost in (
        ("caution lost", _without(old.cautions, new.cautions)),
        ("caution new", _without(new.cautions, old.cautions)),
    ):
        if lost:
            yield change(kind, ", ".join(lost))
    if old.rank != new.rank:
        yield change("rank", f"true cause from {old.rank or 'none'} to {new.rank or 'none'}")
    if _leading(old) != _leading(new):
        yield change("leading cause", f"{_leading(old)} gives way to {_leading(new)}")
    elif moved >= _SHIFT:
        yield change(
            "shift", f"{moved:.0%} of the probability moved; {_leading(new)} {_lead(old):.0%} to {_lead(new):.0%}"
        )
    if old.actions != new.actions:
        yield change("actions", _difference(old.actions, new.actions))
    if old.questions != new.questions:
        yield change("questions", _difference(old.questions, new.questions))


def _leading(run: Run) -> str:
    return (run.ranking[0][0] or "not listed") if run.ranking else "nothing"


def _lead(run: Run) -> float:
    return run.ranking[0][1] if run.ranking else 0.0


def _without(these: tuple[str, ...], those: tuple[str, ...]) -> list[str]:
    return [one for one in these if one not in those]


def _difference(old: tuple[str, ...], new: tuple[str, ...]) -> str:
    gone, come = _without(old, new), _without(new, old)
    parts = [f"no longer: {', '.join(gone)}"] if gone else []
    parts += [f"new: {', '.join(come)}"] if come else []
    return "; ".join(parts) or "another order"


def _things(before: Knowledge, after: Knowledge) -> Iterator[str]:
    """Say which findings, causes, rules and cautions were added, removed or changed (but for where they stand)."""
    for kind in ("findings", "causes", "rules", "cautions"):
        old, new = getattr(before, kind), getattr(after, kind)
        for name in [*old, *(one for one in new if one not in old)]:
            word = "added" if name not in old else "removed" if name not in new else ""
            if not word and _plain(old[name]) != _plain(new[name]):
                word = "changed"
            if word:
                yield f"{kind.removesuffix('s')} {name} {word}"


def _plain(item: object) -> object:
    if hasattr(item, "_asdict"):
        return {key: _plain(value) for key, value in item._asdict().items() if key not in ("place", "order")}
    if isinstance(item, tuple):
        return tuple(map(_plain, item))
    return item
