"""How-common, frequency and misreading words, and the probabilities they stand for.

The numbers below hold until a rules folder brings its own ``scales``; they keep clear of nought and one.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from diagnose.knowledge.fields import Key, Number, Pairs, Prose, Source, Table
from diagnose.knowledge.model import Scales

if TYPE_CHECKING:
    from collections.abc import Iterable

    from diagnose.knowledge.link import Names
    from diagnose.knowledge.nodes import Node

__all__ = ["SCALES", "standard", "with_words"]

_SHARE = Number(0, 1, inside=True)
_ODDS = Number(0, 1000, inside=True)

SCALES = Table(
    "scales",
    {
        "frequency": Key(Pairs(Prose(short=True), _SHARE)),
        "how-common": Key(Pairs(Prose(short=True), _ODDS)),
        "misread": Key(Pairs(Prose(short=True), _SHARE)),
        "not-listed": Key(_SHARE),
        "two-at-once": Key(_SHARE),
        "caution-threshold": Key(_SHARE),
        "source": Key(Source()),
    },
)


def standard() -> Scales:
    """Give the scales that hold where no file says otherwise."""
    frequency = {
        "almost always": 0.985,
        "usually": 0.80,
        "about half": 0.50,
        "sometimes": 0.20,
        "rarely": 0.025,
        "almost never": 0.004,
    }
    how_common = {"very common": 3.0, "common": 1.0, "sometimes": 0.3, "seldom": 0.1, "rare": 0.03}
    misread = {"seldom": 0.02, "sometimes": 0.035, "often": 0.05}
    return Scales(MappingProxyType(frequency), MappingProxyType(how_common), MappingProxyType(misread))


def with_words(nodes: Iterable[Node], names: Names) -> Scales:
    """Lay what the files say over the standard scales, in order; a word keeps its number unless it is given anew."""
    scales = standard()
    for node in nodes:
        row = SCALES.read(node, names) or {}
        scales = scales._replace(**{column: _laid(scales, column, row) for column in scales._fields})
    return scales


def _laid(scales: Scales, column: str, row: dict[str, Any]) -> Any:  # noqa: ANN401  a mapping or a number
    before, after = getattr(scales, column), row.get(column.replace("_", "-"))
    if after is None:
        return before
    return MappingProxyType({**before, **after}) if isinstance(after, dict) else after
