"""One cell of a round sheet: a number, nothing, or a complaint."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from diagnose.values import quantity
from diagnose.values.quantity import QuantityError

if TYPE_CHECKING:
    from diagnose.consultation.round_columns import Column

__all__ = ["NOTHING", "CellError", "number"]

NOTHING = frozenset({"", "-", "--", "---", "n/a", "na", "none", "null", "nil", "n/r", "not read", "off", "s/d"})


class CellError(ValueError):
    """The cell holds text where a number belongs."""


def number(cell: str, column: Column, *, comma: bool = False) -> float | None:
    """Read a cell in the column's own unit; None when nothing was written. Raises CellError with what is wrong.

    A cell may carry its own unit (``250 psig`` in a column of bar); ``comma``: ``17,2`` means 17.2.
    """
    text = cell.strip()
    if text.lower() in NOTHING:
        return None
    plain = text.replace(",", ".") if comma and text.count(",") == 1 else text
    try:
        value = float(plain)
    except ValueError:
        value = _with_unit(text, column)
    if not isfinite(value):
        raise CellError(f"'{text}' is no reading")
    return value


def _with_unit(text: str, column: Column) -> float:
    if not text[:1].isdigit() and text[:1] not in "+-.":
        raise CellError(f"'{text[:40]}' is not a number")
    try:
        taken = quantity.read(text, column.unit) if column.unit else quantity.read(text, "%")
    except QuantityError as error:
        raise CellError(error.says.rstrip(".")) from error
    return (
        (taken.value - column.offset) / column.scale
        if column.unit and "No unit typed" not in taken.note
        else taken.value
    )
