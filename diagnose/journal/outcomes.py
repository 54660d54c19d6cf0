"""What maintenance found: recorded, corrected by a later record, never erased."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.journal.store import Journal, Kept

__all__ = ["KNOWN_BY", "MOST_CAUSES", "Outcome", "check", "outcomes", "record", "standing_outcome", "words"]

MOST_CAUSES = 2
KNOWN_BY = {
    "found": "seen with the machine open or by a test",
    "cured": "the symptom went when it was put right",
    "assumed": "taken from the program's ranking, nobody looked",
}


@dataclass(frozen=True, slots=True)
class Outcome:
    """What was really wrong and what was done. ``known_by`` tells how it is known: a key of KNOWN_BY.

    One or two ``causes`` of the rules, or a ``text`` for what the rules do not hold, or ``none_found``; or
    ``withdrawn``: the record before this one belongs to another job, and the consultation is open again.
    """

    causes: tuple[str, ...] = ()
    text: str = ""
    none_found: bool = False
    withdrawn: bool = False
    known_by: str = "found"
    done: str = ""
    by: str = ""
    why: str = ""  # why an earlier record is corrected


def check(outcome: Outcome, known_causes: Iterable[str]) -> None:
    """Raise DiagnoseError unless the outcome says one thing, of causes that the rules hold."""
    said = [bool(outcome.causes), bool(outcome.text and not outcome.causes), outcome.none_found, outcome.withdrawn]
    if sum(said) != 1:
        raise DiagnoseError("Say what was wrong in one way.", mend="Use --cause, or --text, or --none-found.")
    if len(outcome.causes) > MOST_CAUSES:
        raise DiagnoseError("At most two causes can be recorded for one job.", mend="Put the rest into --text.")
    for cause in outcome.causes:
        if cause not in known_causes:
            mend = did_you_mean(cause, known_causes) or "Use --text for what the rules do not hold."
            raise DiagnoseError(f"The rules hold no cause '{cause}'.", mend=mend)


def record(journal: Journal, run: str, at: str, outcome: Outcome) -> int:
    """Keep an outcome and return its number. One that stands is corrected only with a reason, in ``why``."""
    begun = journal.events(run, "consultation")[:1]
    if not begun:
        mend = did_you_mean(run, journal.runs()) or "'diagnose journal list' shows them."
        raise DiagnoseError(f"There is no consultation '{run}'.", where=str(journal.path), mend=mend)
    before = standing_outcome(journal, run)
    if before and not outcome.why:
        says = f"'{run}' has an outcome already ({words(before[1])})."
        raise DiagnoseError(says, mend="To correct it, say why: --correct REASON. The earlier record stays readable.")
    if outcome.withdrawn and not before:
        raise DiagnoseError(f"'{run}' has no outcome to withdraw.")
    return journal.append(run, "outcome", at, begun[0].machine, begun[0].rules, asdict(outcome))


def words(outcome: Outcome) -> str:
    """Return an outcome in short."""
    if outcome.withdrawn:
        return "withdrawn"
    return "none found" if outcome.none_found else " and ".join(outcome.causes) or outcome.text


def outcomes(kept: Iterable[Kept]) -> Iterator[tuple[str, Outcome]]:
    """Yield (time, outcome) of each outcome among a run's events, oldest first."""
    for event in kept:
        if event.kind == "outcome":
            yield event.at, _outcome(event.body)


def _outcome(body: Mapping[str, Any]) -> Outcome:
    known = {name: value for name, value in body.items() if name in Outcome.__dataclass_fields__}
    return Outcome(**{**known, "causes": tuple(known.get("causes", ()))})


def standing_outcome(journal: Journal, run: str) -> tuple[str, Outcome] | None:
    """Return (time, outcome) that stands for a run; None while it is open."""
    rows = list(outcomes(journal.events(run, "outcome")))
    return rows[-1] if rows and not rows[-1][1].withdrawn else None
