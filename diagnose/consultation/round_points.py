"""Blocks of a file with one row a value, as historians export them: a column names the reading, another holds it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.round_blocks import Blocks, series_of
from diagnose.consultation.round_columns import read_header
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.consultation.round_columns import Sheet
    from diagnose.consultation.round_log import Complaints, Log, Series
    from diagnose.knowledge.model import Knowledge

__all__ = ["PointBlocks"]


class PointBlocks(Blocks):
    """Closes such blocks, making a series for each reading met."""

    def __init__(self, sheet: Sheet, delimiter: str, knowledge: Knowledge, complaints: Complaints) -> None:
        super().__init__(sheet, delimiter, 0, knowledge, complaints)
        self._newest: dict[str, dict[str, tuple[str, int]]] = {}  # machine, header -> cell and line

    def take(self, log: Log) -> None:
        """Make the open block's rows into numbers."""
        sheet = self.sheet
        by_name: dict[str, list[tuple[str, int]]] = {}
        for line, at in self.rows_of(log):
            row = self.cells(line)
            if len(row) > max(sheet.reading, sheet.value):
                unit = row[sheet.units].strip() if 0 <= sheet.units < len(row) else ""
                header = f"{row[sheet.reading].strip()} [{unit}]" if unit else row[sheet.reading].strip()
                by_name.setdefault(header, []).append((row[sheet.value], at))
        for header, pairs in by_name.items():
            self._named_series(header, log, pairs[0][1])
        columns: list[list[float]] = []
        for series in log.series:
            pairs = by_name.get(series.column.header, [])
            columns.append(self.numbers(series, [cell for cell, _ in pairs], [at for _, at in pairs], log.machine))
            self._newest.setdefault(log.machine, {}).update({series.column.header: pairs[-1]} if pairs else {})
        log.add_block(columns, max(map(len, columns), default=0))

    def cells_of(self, log: Log, series: Series) -> Iterator[tuple[str, int]]:
        """Yield the newest cell of a series with its line."""
        yield from filter(None, [self._newest.get(log.machine, {}).get(series.column.header)])

    def _named_series(self, header: str, log: Log, at: int) -> None:
        if any(one.column.header == header for one in log.series):
            return
        try:
            named = read_header(["time", header], self.knowledge, log.machine)
        except DiagnoseError:
            self.complaints.add(at, "unknown-column", f"{log.machine}: '{header}' is not known; left out", header)
            return
        log.add_series(series_of(named.columns[log.machine][0], self.knowledge.findings))
