"""The table of words as a spreadsheet with drop-down lists, and back."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from diagnose.planning.tables import COLUMNS, HOW_COMMON, Cell, table_rows
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from diagnose.knowledge.model import Scales

__all__ = ["as_workbook", "from_workbook"]

_WIDTHS = (12, 44, 52, 40, 16, 16)


def as_workbook(cells: Sequence[Cell], scales: Scales) -> bytes:
    """Write one sheet; the column 'word' offers the words of its scale. Raises DiagnoseError without the library."""
    try:
        from openpyxl import Workbook
        from openpyxl.worksheet.datavalidation import DataValidation
    except ImportError as error:
        raise _without() from error
    book = Workbook()
    sheet = book.create_sheet("words", 0)
    del book["Sheet"]
    sheet.append(COLUMNS)
    for cell in cells:
        sheet.append([_as_text(one) for one in cell])
    for letter, width in zip("ABCDEF", _WIDTHS, strict=True):
        sheet.column_dimensions[letter].width = width
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = f"A1:F{len(cells) + 1}"
    for words, common in ((scales.frequency, False), (scales.how_common, True)):
        choice = DataValidation(type="list", formula1=f'"{",".join(words)}"', allow_blank=False, showErrorMessage=True)
        choice.error = f"Use one of: {', '.join(words)}."
        sheet.add_data_validation(choice)
        for number, cell in enumerate(cells, 2):
            if (cell.kind == HOW_COMMON) == common:
                choice.add(f"F{number}")
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def from_workbook(content: bytes) -> tuple[list[Cell], list[str]]:
    """Read the first sheet back, and what is wrong with it."""
    try:
        from openpyxl import load_workbook
        from openpyxl.utils.exceptions import InvalidFileException
    except ImportError as error:
        raise _without() from error
    import zipfile

    try:
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=True)
    except (InvalidFileException, zipfile.BadZipFile, KeyError, ValueError, OSError) as error:
        raise DiagnoseError("This is no spreadsheet in the form .xlsx.", mend="Save it as .xlsx, or as CSV.") from error
    sheet = book.worksheets[0]
    return table_rows([["" if one is None else str(one) for one in row] for row in sheet.iter_rows(values_only=True)])


def _as_text(value: str) -> str:
    """Keep a spreadsheet from taking a text for a formula."""
    return f"'{value}" if value[:1] in ("=", "+", "-", "@") else value


def _without() -> DiagnoseError:
    mend = "Install it with 'pip install diagnose-turbine[spreadsheet]', or use CSV."
    return DiagnoseError("Spreadsheets need the library openpyxl, which is not installed.", mend=mend)
