"""What a case showed and teaches, in sentences: for the screen and for the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.saying import titled
from diagnose.consultation.wording import plain
from diagnose.training.wording import cause_words, source_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Knowledge
    from diagnose.training.debrief import Debrief, Reading, Step

__all__ = ["bits_words", "debrief_lines", "lesson_lines", "reading_words"]

_MISLED = 0.05  # bits against the true cause that are worth a word


def debrief_lines(told: Debrief, knowledge: Knowledge, full: str = "#", empty: str = ".") -> Iterator[str]:
    """Say the debrief: both paths drawn by how sure the true cause was, what findings were worth, what to read."""
    yield "How sure the true cause was, step by step (yours, then the program's):"
    for who, steps in (("you", told.trainee), ("program", told.program)):
        yield f"{_bar(told.first, full, empty)} {who}, at the start: {told.first:.0%}"
        yield from (f"{_bar(one.share, full, empty)} {who}, {_step_words(one, knowledge)}" for one in steps)
    yield from lesson_lines(told, knowledge)
    yield from (f"To read: {reading_words(one, knowledge)}" for one in told.read)
    if told.source:
        yield f"Source of the case: {source_words(told.source, knowledge)}"


def lesson_lines(told: Debrief, knowledge: Knowledge) -> Iterator[str]:
    """Say what the case teaches: its own note, or what its causes lead to; what looked alike; what told most."""
    if told.teaches:
        yield f"What it teaches: {told.teaches}"
    else:
        for cause in (knowledge.causes[name] for name in told.causes):
            yield f"What it teaches: {cause.title}. {cause.if_left}"
    decoy, share = told.decoy
    if share >= told.first:
        yield f"By the report alone '{cause_words(decoy, knowledge)}' looked as likely or likelier ({share:.0%})."
    if told.telling and told.telling.told > 0:
        one = told.telling
        name = titled(knowledge.findings[one.finding]).lower()
        yield f"What told most: {name}, {one.answer}: {bits_words(one.told)} in {one.choice.minutes:.0f} minutes."
    misled = [one for one in told.trainee if one.told < -_MISLED]
    for one in misled:
        name = titled(knowledge.findings[one.finding]).lower()
        yield f"What pointed the wrong way: {name}, {one.answer}. One sign is not proof; the next check settles it."


def reading_words(one: Reading, knowledge: Knowledge) -> str:
    """Return what to read, why, where it stands and its source."""
    because = f" ({' '.join(map(plain, one.because))})" if one.because else ""
    return f"{one.kind} {one.id}{because}, {one.place}; source: {source_words(one.source, knowledge)}"


def bits_words(bits: float) -> str:
    """Return bits that spoke for or against the true cause."""
    return f"{abs(bits):.1f} bits {'against' if bits < 0 else 'for'} the true cause"


def _step_words(one: Step, knowledge: Knowledge) -> str:
    name = titled(knowledge.findings[one.finding]).lower()
    worth = f"could tell {one.choice.bits:.1f} bits, told {bits_words(one.told)}"
    return f"{name}: {one.answer}; {one.share:.0%}; {worth}, in {one.choice.minutes:.0f} minutes"


def _bar(share: float, full: str, empty: str) -> str:
    cells = round(10 * share)
    return full * cells + empty * (10 - cells)
