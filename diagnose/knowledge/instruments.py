"""How exact a machine's own gauges are: ``class 1.6 of 6 bar``, or ``within 10 rpm``."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from diagnose.values import quantity
from diagnose.values.quantity import Quantity, QuantityError, difference_unit
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.knowledge.link import Names
    from diagnose.knowledge.nodes import Text

__all__ = ["read_instruments"]

_CLASS = re.compile(r"class (?P<per_cent>\d+(?:\.\d+)?) of (?P<span>.+)", re.ASCII)
_WITHIN = re.compile(r"within (?P<error>.+)", re.ASCII)
_MEND = "Write 'class 1.6 of 6 bar' (per cent of the span, EN 837-1), or 'within 10 rpm'."


def read_instruments(texts: Mapping[str, Text], names: Names) -> dict[str, Quantity]:
    """Give the largest error of each reading's gauge, in the unit in which the reading differs (K for C)."""
    read = {name: _largest_error(name, text, names) for name, text in texts.items()}
    return {name: error for name, error in read.items() if error is not None}


def _largest_error(name: str, text: Text, names: Names) -> Quantity | None:
    finding = names.findings.get(name)
    if finding is None:
        return None  # told already
    if finding.reading is None:
        names.report(text.place, "not-a-reading", f"'{one_line(name)}' is not a number.", "Name a reading.")
        return None
    written = " ".join(text.text.split())
    of_class, within = _CLASS.fullmatch(written), _WITHIN.fullmatch(written)
    if not of_class and not within:
        names.report(text.place, "not-an-instrument", f"'{one_line(written)}' does not say how exact it is.", _MEND)
        return None
    amount, share = (of_class["span"], float(of_class["per_cent"]) / 100) if of_class else (within["error"], 1.0)  # type: ignore[index]
    unit = difference_unit(finding.reading.unit)
    try:
        size = quantity.read(amount, unit)
    except QuantityError as error:
        names.report(text.place, "wrong-quantity", error.says, error.mend)
        return None
    if size.value <= 0 or "No unit typed" in size.note:
        says = f"'{one_line(amount)}' is no span." if size.value <= 0 else f"'{one_line(amount)}' has no unit."
        names.report(text.place, "wrong-quantity", says, _MEND)
        return None
    return Quantity(size.value * share, unit)
