"""Text from rules and people made fit to be shown: nothing in it acts on the terminal, nothing is unprintable there."""

from __future__ import annotations

import codecs
import unicodedata
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar

from diagnose.values.text import inert

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["Marks", "ascii_only", "cleaned", "cleaner", "marks_for"]

Shown = TypeVar("Shown")

_SPELT = str.maketrans(
    {
        "\u00b0": "deg ",
        "\u00b5": "u",
        "\u03bc": "u",
        "\u00d7": "x",
        "\u2010": "-",
        "\u2011": "-",
        "\u2012": "-",
        "\u2013": "-",
        "\u2014": "-",
        "\u2018": "'",
        "\u2019": "'",
        "\u201c": '"',
        "\u201d": '"',
        "\u2026": "...",
    }
)


@dataclass(frozen=True, slots=True)
class Marks:
    """The few signs a screen draws with."""

    full: str
    empty: str
    pointer: str


def marks_for(encoding: str) -> Marks:
    """Return drawn signs where the output can show them, else plain ASCII."""
    return Marks("\u2588", "\u2591", "\u25b8") if _is_unicode(encoding) else Marks("#", ".", ">")


def cleaner(encoding: str) -> Callable[[str], str]:
    """Return what makes a text harmless for an output of this encoding."""
    return inert if _is_unicode(encoding) else _inert_ascii


def ascii_only(text: str) -> str:
    """Spell a text in ASCII: what has no spelling becomes a question mark.

    >>> ascii_only("5\u201310 \u00b5m, Stra\u00dfe")
    '5-10 um, Stra?e'
    """
    decomposed = unicodedata.normalize("NFKD", text.translate(_SPELT))
    return "".join(c for c in decomposed if not unicodedata.combining(c)).encode("ascii", "replace").decode("ascii")


def cleaned(value: Shown, clean: Callable[[str], str]) -> Shown:
    """Return the same frozen value with every text in it cleaned, however deep it lies."""
    return _cleaned(value, clean)  # type: ignore[no-any-return]


def _cleaned(value: Any, clean: Callable[[str], str]) -> Any:  # noqa: ANN401 - walks values of any kind
    if isinstance(value, str):
        return clean(value)
    if isinstance(value, tuple):
        items = [_cleaned(item, clean) for item in value]
        return type(value)(*items) if hasattr(value, "_fields") else tuple(items)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{field.name: _cleaned(getattr(value, field.name), clean) for field in fields(value)})
    return value


def _inert_ascii(text: str) -> str:
    return ascii_only(inert(text))


def _is_unicode(encoding: str) -> bool:
    try:
        return codecs.lookup(encoding).name.startswith("utf")
    except LookupError:
        return False
