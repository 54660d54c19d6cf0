"""What a person typed made into an answer, or one clear complaint that says how to mend it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from diagnose.consultation.events import Answer
from diagnose.consultation.wording import plain
from diagnose.values.names import nearest
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from diagnose.knowledge.model import Finding

__all__ = ["CANNOT_TELL", "understand"]

CANNOT_TELL = frozenset(
    {"can't tell", "cant tell", "cannot tell", "can not tell", "don't know", "dont know", "do not know", "unknown", "u",
     "no idea", "?", "not known", "dunno", "unsure"}
)  # fmt: skip
_BARE = re.compile(r"[\d\s.,+-]+")
_NOT_SURE = ("not sure", "maybe", "probably", "perhaps", "i think", "looks like")


def understand(text: str, finding: Finding, words: Finding | None = None, unit: str = "") -> tuple[Answer, str]:
    """Read what was typed for a finding; return the answer and a note on what was taken for granted ("" if nothing).

    ``words`` is the condition whose values may be said instead of a number; ``unit`` the one in which the site reads
    this gauge, for a number without a unit. A choice may be given by its number in
    the list only when the finding takes no reading with that choice open (then a bare number is the reading).
    Raises ``DiagnoseError`` when the text fits nothing.
    """
    typed = text.strip()
    said = typed.lower().rstrip(".!")
    if said in CANNOT_TELL:
        return Answer(cannot_tell=True, typed="can't tell"), ""  # however it was said, the record is the same
    sure = True
    for hedge in _NOT_SURE:
        if said.startswith(hedge) or said.endswith(hedge):
            sure, typed = False, _without(typed.rstrip(".!"), hedge)  # the doubt is kept apart from what was said
            said = typed.lower()
            break
    choices = tuple((words or finding).values)
    if value := _value(said, choices, by_number=finding.reading is None):
        return Answer(value=value, sure=sure, typed=typed), ""
    if finding.reading:
        return _number(typed, finding, choices, unit, sure=sure)
    raise DiagnoseError(_not_a_choice(typed, choices))


def _without(text: str, hedge: str) -> str:
    """Return the text without the hedge at its beginning or end."""
    cut = text[len(hedge) :] if text.lower().startswith(hedge) else text[: -len(hedge)]
    return cut.strip(" ,:;-")


def _number(typed: str, finding: Finding, choices: tuple[str, ...], unit: str, *, sure: bool) -> tuple[Answer, str]:
    from diagnose.values import quantity

    reading = finding.reading
    if reading is None or not any(letter.isdecimal() for letter in typed):
        raise DiagnoseError(_not_a_choice(typed, choices, unit=unit or (reading.unit if reading else "")))
    if not unit or not _BARE.fullmatch(typed):
        taken = quantity.read(typed, reading.unit, plausible=reading.plausible)
        return Answer(number=taken.value, sure=sure, typed=typed), taken.note
    taken = quantity.read(f"{typed} {unit}", reading.unit, plausible=reading.plausible)
    return Answer(number=taken.value, sure=sure, typed=typed), f"No unit typed: taken as {unit}."


def _value(said: str, choices: tuple[str, ...], *, by_number: bool) -> str:
    """Return the choice meant: by number, by its words, by a part of them that fits one only, or nearly spelt."""
    if by_number and said.isdecimal() and 1 <= int(said) <= len(choices):
        return choices[int(said) - 1]
    as_words = {plain(choice): choice for choice in choices}
    if plain(said) in as_words:
        return as_words[plain(said)]
    if said in ("yes", "y", "no", "n") and set(choices) == {"true", "false"}:
        return "true" if said.startswith("y") else "false"
    parts = {part: choice for choice in choices for part in plain(choice).split(" or ")}
    if said in parts:
        return parts[said]
    if len(said) >= 3:  # noqa: PLR2004 - two letters begin too many words
        begun = [choice for words, choice in as_words.items() if words.startswith(said)]
        if len(begun) == 1:
            return begun[0]
        within = [choice for words, choice in as_words.items() if set(said.split()) <= set(words.split())]
        if len(within) == 1:
            return within[0]
    near = () if any(letter.isdecimal() for letter in said) else nearest(said.replace(" ", "-"), choices)
    return near[0] if near else ""


def _not_a_choice(typed: str, choices: tuple[str, ...], unit: str = "") -> str:
    offered = ", ".join(plain(choice) for choice in choices)
    number = f" a number such as in {unit}, or" if unit else ""
    return f"'{typed}' is not one of the answers: say{number} one of: {offered}; or 'can't tell'."
