"""contradicts-shipped: a site's rule says the reverse of the shipped one.

The shipped rule holds a cause likely to show a sign and the site holds it unlikely, or the other way. That may be
right for this plant; somebody should have meant it.

Bad:
    rules:
      - rule: milky-oil
        symptom: {oil-look: milky}
        causes: {jacket-leak: rarely, gland-steam: usually}
        caution: water-in-oil
        source: common practice
Good:
    rules:
      - rule: milky-oil
        symptom: {oil-look: milky}
        causes: {jacket-leak: usually, gland-steam: sometimes}
        caution: water-in-oil
        source: common practice
Mend: Check the word; if the plant has shown it, keep it and accept this with '# allow: contradicts-shipped'.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from diagnose.planning.rule_base import RuleBase
from diagnose.values.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.model import Link

__all__ = ["CODE", "LEVEL", "check"]

CODE, LEVEL = "contradicts-shipped", "warning"

_HALF = 0.5
_FACTOR = 3.0


def check(base: RuleBase) -> Iterator[Problem]:
    """Give a problem for each link that lies on the other side of one half from the shipped one, and far from it."""
    if base.shipped is None:
        return
    before: defaultdict[tuple[str, str, str], list[Link]] = defaultdict(list)  # rules for different phases and machines
    for cause, signs in RuleBase(base.shipped).signs.items():
        for sign in signs:
            before[cause, sign.finding, sign.value].append(sign.link)
    for cause, signs in base.signs.items():
        for sign in signs:
            shipped = before.get((cause, sign.finding, sign.value), [])
            if shipped and all(_reverse(old.probability, sign.link.probability) for old in shipped):
                words = " or ".join(dict.fromkeys(old.word for old in shipped))
                says = f"The shipped rules have '{cause}' show '{sign.finding}: {sign.value}' {words}, "
                says += f"here it is {sign.link.word}."
                mend = "Check the word; accept it with '# allow: contradicts-shipped'."
                yield Problem(sign.link.place, CODE, says, mend)


def _reverse(old: float, new: float) -> bool:
    low, high = min(old, new), max(old, new)
    return low < _HALF <= high and high / low >= _FACTOR
