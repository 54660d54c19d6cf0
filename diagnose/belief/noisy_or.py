"""Noisy-OR with leak, in the net reading, for findings with one or more abnormal values.

Net reading (Diez 1993): a link's strength is how often the value is seen when only this cause is present and nothing
else brings the value about. (The compound reading of Henrion 1989 includes the leak; see `net_from_compound`.)
"""

from collections.abc import Iterable, Sequence
from math import log2, prod

__all__ = ["abnormal", "entropy", "net_from_compound", "shares"]


def abnormal(leak: float, strengths: Iterable[float]) -> float:
    """a(v|H) = 1 - (1 - leak) * product over c in H of (1 - p(c, v)).

    >>> round(abnormal(0.05, [0.8, 0.6]), 3)
    0.924
    """
    return 1.0 - (1.0 - leak) * prod(1.0 - p for p in strengths)


def shares(a: Sequence[float]) -> tuple[float, ...]:
    """P(value|H), normal first, from a(v|H) of each abnormal value; the values share out 1.

    P(normal|H) = product of (1 - a(v|H)); P(v|H) = (1 - P(normal|H)) * a(v|H) / sum of a(u|H).

    >>> [round(p, 3) for p in shares([0.5, 0.5])]
    [0.25, 0.375, 0.375]
    """
    normal = prod(1.0 - each for each in a)
    part = (1.0 - normal) / sum(a)
    return (normal, *(part * each for each in a))


def entropy(distribution: Iterable[float]) -> float:
    """H = -sum of p * log2(p), in bits; a value that cannot be adds nothing.

    >>> entropy([0.5, 0.25, 0.25])
    1.5
    """
    bits = 0.0
    for p in distribution:
        if p > 0.0:
            bits -= p * log2(p)
    return bits


def net_from_compound(compound: float, leak: float) -> float:
    """Read a strength that includes the leak as one that does not: p = 1 - (1 - p') / (1 - leak).

    >>> round(net_from_compound(0.81, 0.05), 3)
    0.8
    """
    return 1.0 - (1.0 - compound) / (1.0 - leak)
