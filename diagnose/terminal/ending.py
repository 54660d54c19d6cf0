"""What a consultation leaves its operator with, as blocks of whole sentences: both faces show the same."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from diagnose.consultation.wording import AUTHORITY, RANK_WORDS, REFER_WORDS, STANDING_WORDS, STATEMENT
from diagnose.terminal import words
from diagnose.terminal.style import RANK_STYLES, Style

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.consultation.view import ActionRow, AnsweredRow, CauseRow, CautionRow, View, Weight

__all__ = ["CAUTIONS", "Block", "blocks", "cause_line", "caution_lines", "contradictions", "evidence", "said"]

CAUTIONS = "Cautions"
_WHO_WORDS = {"operator": "Yours to do", "supervisor": "For the supervisor", "maintenance": "For maintenance"}


@dataclass(frozen=True, slots=True)
class Block:
    """A heading and its sentences, each with its look. Every sentence stands on its own."""

    title: str
    lines: tuple[tuple[Style, str], ...]


def blocks(view: View) -> tuple[Block, ...]:
    """Return the ending: cautions first, authority last, what is empty left out."""
    known = view if view.standing != "no-symptom" else view._replace(ranking=(), supervisor=("", "", ""), refer=())
    whole = (
        Block(CAUTIONS, tuple(line for caution in words.cautions_in_order(view) for line in caution_lines(caution))),
        Block("How it stands", tuple(_standing(known))),
        Block("Read this to your supervisor", _plain(known.supervisor)),
        Block("Likely causes", tuple(_causes(known.ranking))),
        Block("What to do", _plain(_actions(view.actions))),
        Block("Local procedures to open", _plain(view.procedures)),
        Block(
            "Checks that others can make", _plain(f"{check.who.capitalize()}: {check.ask}" for check in view.referred)
        ),
        Block("Evidence for and against", _plain(_evidence(known.ranking))),
        Block("Answers that do not fit each other", _plain(contradictions(view))),
        Block("Put right already", _plain(view.put_right)),
        Block("What was answered", _plain(said(row) for row in view.answered)),
        Block("Who decides", _plain((AUTHORITY, STATEMENT, f"Rules: revision {view.revision}."))),
    )
    return tuple(block for block in whole if any(text for _, text in block.lines))


def caution_lines(caution: CautionRow) -> Iterator[tuple[Style, str]]:
    """Say a caution in full: its rank in words, what to do, the local procedure, what it rests on."""
    yield RANK_STYLES[caution.rank], f"{RANK_WORDS[caution.rank]}: {caution.say}"
    yield Style.DO, f"Do: {caution.do}"
    if caution.procedure:
        yield Style.DO, f"Local procedure: {caution.procedure}."
    if caution.because:
        yield Style.HOW, f"Because: {'; '.join(caution.because)}."
    if caution.source:
        yield Style.HOW, f"Source of this caution: {caution.source}."


def contradictions(view: View) -> Iterator[str]:
    """Say which answers give one condition two values."""
    for contradiction in view.contradictions:
        yield f"{contradiction.condition}: {' against '.join(contradiction.said)}. Both are kept; look again."


def evidence(number: int, row: CauseRow) -> Iterator[str]:
    """Say what speaks for the cause of this rank and what against it, the weightiest first."""
    heavy = sorted(filter(words.telling, row.weights), key=lambda weight: -abs(weight.decibans))
    if not heavy:
        yield f"No single answer weighs for or against cause {number}."
        return
    for_it = [weight for weight in heavy if weight.decibans > 0]
    against = [weight for weight in heavy if weight.decibans < 0]
    yield f"For cause {number}: {_weights(for_it)}."
    yield f"Against cause {number}: {_weights(against)}."


def said(row: AnsweredRow) -> str:
    """Say what was asked and answered, what the rules made of it, and of which other machine."""
    machine = f"{row.machine}: " if row.machine else ""
    judged = f" (that is: {row.judged})" if row.judged and row.judged != row.said else ""
    return f"{machine}{row.ask} {row.said}{judged}"


def _weights(weights: Iterable[Weight]) -> str:
    return "; ".join(words.weight_words(weight) for weight in weights) or "nothing that was answered"


def _standing(view: View) -> Iterator[tuple[Style, str]]:
    yield Style.TEXT, words.STILL_OPEN if view.standing == "asking" else STANDING_WORDS[view.standing]
    for code in view.refer:
        yield Style.CALL_SUPERVISOR, REFER_WORDS[code]


def _causes(rows: tuple[CauseRow, ...]) -> Iterator[tuple[Style, str]]:
    for number, row in enumerate(rows, 1):
        style = Style.NOT_COVERED if words.not_listed(row) else Style.CAUSE
        yield style, cause_line(number, len(rows), row, {})


def _evidence(rows: tuple[CauseRow, ...]) -> Iterator[str]:
    for number, row in enumerate(rows, 1):
        yield f"Cause {number}: {row.title.rstrip('.')}."
        yield from evidence(number, row)
        if row.if_left:
            yield f"If cause {number} is left: {row.if_left}"
        if row.led_by:
            yield f"What may have led to cause {number}: {'; '.join(title.rstrip('.') for title in row.led_by)}."
        if row.settled_by:
            yield f"What settles cause {number}: {row.settled_by}"
        if row.source:
            yield f"Source of cause {number}: {row.source}."
    if rows:
        yield words.DECIBANS


def cause_line(number: int, count: int, row: CauseRow, before: Mapping[str, float]) -> str:
    """Say the rank, the cause, and how likely it is in words and percent, on one line."""
    return f"Cause {number} of {count}: {row.title.rstrip('.')}, {words.share(row, before)}."


def _actions(actions: tuple[ActionRow, ...]) -> Iterator[str]:
    for who, label in _WHO_WORDS.items():
        for action in actions:
            if action.who == who:
                procedure = f" Local procedure: {action.procedure}." if action.procedure else ""
                yield f"{label}: {action.do}{procedure}"


def _plain(texts: Iterable[str]) -> tuple[tuple[Style, str], ...]:
    return tuple((Style.TEXT, text) for text in texts)
