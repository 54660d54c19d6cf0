"""The sentences of this room. What screen, plain lines and pages share stands in ``consultation.wording``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.wording import RANK_WORDS, plain, probability_words, strength

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.consultation.view import CauseRow, CautionRow, Question, View, Weight

DANGEROUS = "dangerous-cause"  # the code of a view that asks for the supervisor

SAFETY = "Local procedure and your supervisor come first; this only advises."
WHAT_IS_WRONG = "What is not normal? Say it in your own words."
HOW_TO_SAY = "For example: oil is milky, speed swings, warning valve blows."
NOT_SURE = "You are not sure. What do you think it is?"
CHANGING = "Changing an earlier answer."
WHICH_ANSWER = "Which answer do you want to change?"
WHICH_MATCH = "Which of these do you mean?"
NONE_OF_THESE = "None of these"
WHAT_ELSE = "What else did you notice? Say it in your own words."
WHICH_MACHINE = "Which other machine?"
WHAT_OF_MACHINE = "What do you know of {machine}? Say it in your own words."
WHICH_PHASE = "What is the machine doing now?"
WHICH_CAUSE = "Which cause?"
WHY_NOT_WHICH = "Why not which cause? Name it in your own words."
WHICH_PUT_RIGHT = "Which cause was put right?"
ALL_KEYS = "All keys. Type the letter or the word, then Enter."
HELP_MORE = (
    "1, 2, 3: choose that answer. Its word does the same: milky.",
    "A number read off a gauge, with its unit if it is another one: 165 psig.",
    "On a full screen: arrows and Enter choose, Page Up and Page Down move the text, Esc empties the line.",
    "Ctrl-D: save and leave with the ending shown. Ctrl-C: save and leave at once.",
)
WHY_ASKED_TITLE = "Why this question"
BROUGHT_UP = "You brought this question up yourself; b goes back to the one that was open."
WHY_CAUSE_TITLE = "Why: {title}"
WHY_NOT_TITLE = "Why not: {title}"
CHOOSE_HELP = "Choose by number, or type the words. q leaves."
GO_BACK_HINT = "Enter or b goes back."
GO_ON_HINT = "Enter goes on."
NOTED = "Noted: {said}."
STILL_OPEN = "Questions are still open; it can be taken up again."
ANSWER_TAKEN_BACK = "Taken back."
STEPPED_BACK = "One step back."
LEFT_FOR_LATER = "Left for later."
CANNOT_TELL = "Noted: can't tell."
NOTHING_TO_UNDO = "There is nothing to go back to."
PHASE_NOW = "Phase is now: {phase}."
PUT_RIGHT_NOTED = "Noted as put right: {title}."

NOT_TAKEN = "Not taken: {why}"
YOUR_ANSWER = "Your answer, then Enter:"
SAVED = "Saved. You can take it up again."
NOT_KEPT = "Left. No record of it is kept."
NOTHING_TYPED = "Nothing typed. Choose a number, or type an answer or a key; ? shows all keys."
NOT_A_NUMBER_HERE = "There is no number {typed} here; choose 1 to {most}."
NOT_IN_LIST = "'{typed}' is not in the list; choose 1 to {most}, or b to go back."
NO_PHASE = "'{typed}' is no phase; choose one of: {phases}."
NO_CAUSE_NUMBER = "There is no cause {typed}; choose 1 to {most}, or name it."
NO_ANSWER_NUMBER = "There is no answer {typed}; choose 1 to {most}."
NO_MATCH = "No finding is known by '{typed}'. Try other words: what you see, hear, feel, smell or read."
NO_ANSWERS_YET = "There is no earlier answer to change."
NO_OTHER_MACHINES = "No other machine is known on this site."
NO_CAUSES_YET = "No cause is ranked yet."
NOTHING_MORE = "Nothing more to ask. You can add a finding (a), change an answer (c) or leave (q)."

USUAL_HERE = "usual here"
NORMAL = "normal"
NUMBER_WANTED = "Type the number in {unit}, or with its own unit."
WORD_WANTED = "Or choose with a word:"
CAUTIONS_IN_FULL = "Cautions in full"
CAUSES_NOW = "Likely causes now"
NO_RANKING = "No cause can be ranked yet."
ANSWERED_SO_FAR = "Answered so far, newest first"
MORE_BELOW = "more below: Page Down"
MORE_ABOVE = "more above: Page Up"

NOT_LISTED = "It rises when the answers fit no listed cause well, and falls when they fit one."
DECIBANS = "Numbers in brackets are decibans: +10 makes the odds of a cause ten times as high, -10 a tenth."
_TELLING = 1.0  # decibans: the least difference that people notice


def machine_line(view: View) -> str:
    """Name the machine, what it is and its phase."""
    title = f" {view.machine_title}" if view.machine_title != view.machine else ""
    return f"{view.machine}{title}, {plain(view.phase)}"


def cautions_in_order(view: View) -> tuple[CautionRow, ...]:
    """Cautions with the highest rank first; within a rank in the order given."""
    ranks = list(RANK_WORDS)
    return tuple(sorted(view.cautions, key=lambda caution: ranks.index(caution.rank)))


def percent(probability: float) -> int:
    """Whole percent; what is not impossible is not shown as 0, what is not certain not as 100."""
    whole = round(100 * probability)
    return min(max(whole, int(probability > 0)), 100 - int(probability < 1))


def share(row: CauseRow, before: Mapping[str, float]) -> str:
    """Say how likely a row is, in words and percent; how far it moved with the latest answer; if it is dangerous."""
    return _share(row, f"{percent(row.probability)} percent", before)


def short_share(row: CauseRow, before: Mapping[str, float]) -> str:
    """Say the same without the percent, for where they stand beside it."""
    return _share(row, "", before)


def _share(row: CauseRow, number: str, before: Mapping[str, float]) -> str:
    danger = "dangerous if so" if row.severity == "dangerous" else ""
    return ", ".join(filter(None, [probability_words(row.probability), number, *moved(row, before), danger]))


def moved(row: CauseRow, before: Mapping[str, float]) -> list[str]:
    """Say by how many percent a row rose or fell with the latest answer; nothing when it stayed."""
    if row.cause not in before:
        return []
    step = percent(row.probability) - percent(before[row.cause])
    return [f"{'up' if step > 0 else 'down'} {abs(step)}"] if step else []


def weight_words(weight: Weight) -> str:
    """Say what one answer weighs: which, how strongly for or against in words, and the number with its sign."""
    return f"{plain(weight.finding)} {weight.said}: {strength(weight.decibans)} ({weight.decibans:+.0f})"


def telling(weight: Weight) -> bool:
    """Tell whether an answer weighs enough to be worth a word."""
    return abs(weight.decibans) >= _TELLING


def asked_because(question: Question) -> str:
    """Say in one line why this question stands first; empty when there is nothing to say."""
    if question.why.settles_stop:
        return "Asked first because it can settle whether the machine must be stopped."
    names = "; ".join(question.why.separates[:3])
    return f"Asked because it tells apart: {names}." if names else ""


def usual(question: Question) -> str:
    """Say what this machine usually shows; empty when not known."""
    return f"Usual on this machine: {question.usual}." if question.usual else ""


def not_listed(row: CauseRow) -> bool:
    """Tell whether this is the row of what the rules do not cover."""
    return not row.cause


def number_wanted(question: Question) -> str:
    """Say that a number is welcome, in which unit, and that a word will do where there are words."""
    unit = NUMBER_WANTED.format(unit=question.unit)
    return f"{unit} {WORD_WANTED}" if question.choices else unit


def short_reason(row: CauseRow) -> str:
    """Say the weightiest answer for and against a cause in a few words; empty when nothing weighs."""
    most = max(row.weights, key=lambda weight: weight.decibans, default=None)
    least = min(row.weights, key=lambda weight: weight.decibans, default=None)
    for_it = [weight_words(most)] if most and telling(most) and most.decibans > 0 else []
    against = [weight_words(least)] if least and telling(least) and least.decibans < 0 else []
    return "; ".join([*for_it, *against])
