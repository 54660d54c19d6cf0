"""What an id may look like, and which right name is nearest to a wrong one."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = ["did_you_mean", "is_id", "is_machine_id", "nearest"]

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*", re.ASCII)
_MACHINE_ID = re.compile(r"[A-Za-z0-9]+(-[A-Za-z0-9]+)*", re.ASCII)
_LONGEST = 80
_SHORT = 4


def is_id(text: str) -> bool:
    """Tell whether the text is lower-case words and digits joined by single hyphens, 80 characters at most."""
    return len(text) <= _LONGEST and _ID.fullmatch(text) is not None


def is_machine_id(text: str) -> bool:
    """Tell whether the text is letters and digits joined by single hyphens, as machines are tagged."""
    return len(text) <= _LONGEST and _MACHINE_ID.fullmatch(text) is not None


def nearest(name: str, known: Iterable[str], most: int = 1) -> tuple[str, ...]:
    """Give the known names that look most like ``name``, best first; none when nothing comes near.

    >>> nearest("bearing-oil-lok", ["bearing-oil-look", "oiler-level"])
    ('bearing-oil-look',)
    """
    import difflib  # only when something is wrong

    wanted = name[:_LONGEST].lower().replace("_", "-")
    lowered = {one.lower(): one for one in sorted(known, reverse=True)}
    cutoff = 0.7 if len(wanted) > _SHORT else 0.65  # two letters changed about in a short word: 'aks', 'hwo'
    found = difflib.get_close_matches(wanted, sorted(lowered), n=most, cutoff=cutoff)
    return tuple(lowered[one] for one in found)


def did_you_mean(name: str, known: Iterable[str], few: int = 8) -> str:
    """Word a mend: the nearest right name; or all of them when they are few; or nothing."""
    names = sorted(set(known))
    best = nearest(name, names)
    if best:
        return f"Did you mean '{one_line(best[0])}'?"
    if 0 < len(names) <= few:
        return f"Use one of: {', '.join(names)}."
    return ""
