"""odd-character: a character that a plain terminal or printer may not have.

Bad:
    rules:
      - rule: level-low
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor ☎ at once.}]
        source: common practice
Good:
    rules:
      - rule: level-low
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor at once.}]
        source: common practice
Mend: Write it in letters.
"""

from __future__ import annotations

import unicodedata
from typing import TYPE_CHECKING

from diagnose.planning.texts import texts_of
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.planning.rule_base import RuleBase

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "odd-character", "note"


_LATIN = 0xFF  # what every terminal and printer has
_MARKS = "\u2013\u2014\u2018\u2019\u201c\u201d\u2026\u202f"  # dashes, quotation marks, three dots, a narrow blank


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a note for each text with a symbol outside letters, digits, marks and the usual signs."""
    for written in texts_of(base.knowledge):
        if written.text.isascii():
            continue
        odd = next((one for one in written.text if _is_odd(one)), "")
        if odd:
            name = unicodedata.name(odd, f"U+{ord(odd):04X}").lower()
            says = f"'{odd}' ({name}) in the {written.what} may not be shown."
            yield Problem(written.place, CODE, says, "Write it in letters.")


def _is_odd(character: str) -> bool:
    return ord(character) > _LATIN and not character.isalpha() and character not in _MARKS
