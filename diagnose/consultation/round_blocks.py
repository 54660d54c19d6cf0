"""A block of rows of one machine made into numbers, a column at a time.

The usual case, a block of clean rows, is cut up and converted by built-in functions; a block that is not clean is
gone through cell by cell, and every oddity becomes a complaint.
"""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING

from diagnose.consultation.round_cells import CellError, number
from diagnose.consultation.round_log import Numbers, Series

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from diagnose.consultation.round_columns import Column, Sheet
    from diagnose.consultation.round_log import Complaints, Log
    from diagnose.knowledge.model import Finding, Knowledge

__all__ = ["Blocks", "cut", "series_of"]


def series_of(column: Column, findings: Mapping[str, Finding]) -> Series:
    """Return the empty series of a column: what its instrument can show, or the words of its finding."""
    finding = findings.get(column.measured)
    if finding is None:
        return Series(column, None)
    return Series(column, finding.reading.plausible if finding.reading else None, tuple(finding.values))


def cut(line: str, delimiter: str) -> list[str]:
    """Cut one line into cells; an empty line is one empty cell.

    >>> cut('1,"2,3",', ","), cut("", ",")
    (['1', '2,3', ''], [''])
    """
    try:
        return next(csv.reader([line], delimiter=delimiter), []) or [""]
    except csv.Error:  # a cell longer than the library takes
        return line.split(delimiter)


class Blocks:
    """Closes blocks of a file with one row a time; ``lead`` columns in front are already cut off each row."""

    def __init__(self, sheet: Sheet, delimiter: str, lead: int, knowledge: Knowledge, complaints: Complaints) -> None:
        self.sheet, self.delimiter, self.knowledge, self.complaints = sheet, delimiter, knowledge, complaints
        self._lead = lead
        self._number = Numbers().__getitem__

    def close(self, log: Log) -> None:
        """Make the open block's rows into numbers, and keep what the newest rows say."""
        lines = log.lines
        log.rows += len(lines)
        self.take(log)
        if (log.clock.last or 0.0) >= log.latest[0]:
            log.latest = (log.clock.last or 0.0, lines, log.numbers)
        if log.is_fast:
            self._keep_fast(log)
        log.lines, log.numbers = [], []

    def take(self, log: Log) -> None:
        """Make the open block's rows into numbers."""
        if not self._take_clean(log):
            self._take_slowly(log)

    def cells_of(self, log: Log, series: Series) -> Iterator[tuple[str, int]]:
        """Yield a series' cells of the newest block with their lines, newest first."""
        _, lines, numbers = log.latest
        rows = zip(lines, numbers, strict=True)
        for line, at in rows if log.clock.direction < 0 else reversed(list(rows)):
            row = self.cells(line)
            if _fits(row, self.sheet.width - self._lead):
                yield row[series.column.at - self._lead], at

    def cells(self, line: str) -> list[str]:
        """Cut one line into cells."""
        return cut(line, self.delimiter)

    @staticmethod
    def rows_of(log: Log) -> Iterable[tuple[str, int]]:
        """Return the open block's rows with their lines."""
        return zip(log.lines, log.numbers, strict=True)

    def numbers(self, series: Series, cells: Sequence[str], lines: Sequence[int], machine: str) -> list[float]:
        """Return the sorted numbers of a column; text in a number column and impossible numbers are complained of."""
        if series.words:
            return []
        about = f"{machine} {series.column.header}"
        comma = self._has_commas(machine)
        values: list[float] = []
        for cell, at in zip(cells, lines, strict=True):
            try:
                value = number(cell, series.column, comma=comma)
            except CellError as error:
                self.complaints.add(at, "text-in-number", f"{about}: {error}; left out", about)
                continue
            if value is not None and series.low_ok <= value <= series.high_ok:
                values.append(value)
            elif value is not None:
                self.complaints.add(at, "impossible", f"{about}: {value:g} cannot be; left out", about)
        values.sort()
        return values

    def _has_commas(self, machine: str) -> bool:
        rounds = self.knowledge.site.machines[machine].rounds
        return rounds is not None and rounds.decimal == "comma"

    def _take_clean(self, log: Log) -> bool:
        """Take a block in one go; False when something in it needs looking at."""
        text, width, size = self.delimiter.join(log.lines), self.sheet.width - self._lead, len(log.lines)
        if log.has_words or '"' in text:
            return False
        cells = text.split(self.delimiter)
        if len(cells) == width * size and len(log.series) < width:
            cells = self._picked(cells, log, width)
        try:
            return len(cells) == size * len(log.series) and log.add_clean_block(cells, size, self._number)
        except ValueError:
            return False

    def _picked(self, cells: list[str], log: Log, width: int) -> list[str]:
        """Return the cells of the wanted columns among others, row by row."""
        columns = [cells[one.column.at - self._lead :: width] for one in log.series]
        return [cell for row in zip(*columns, strict=True) for cell in row]

    def _take_slowly(self, log: Log) -> None:
        """Go through a block row by row and cell by cell."""
        width = self.sheet.width - self._lead
        rows = [(self.cells(line), at) for line, at in self.rows_of(log)]
        good = [(row[:width], at) for row, at in rows if _fits(row, width)]
        for row, at in rows:
            if not _fits(row, width):
                says = f"{len(row) + self._lead} columns where {self.sheet.width} are wanted; left out"
                self.complaints.add(at, "short-row", says)
        log.rows -= len(rows) - len(good)
        numbers = [at for _, at in good]
        columns = list(zip(*(row for row, _ in good), strict=True)) or [()] * width
        starts = [one.column.at - self._lead for one in log.series]
        values = [
            self.numbers(one, columns[start], numbers, log.machine)
            for one, start in zip(log.series, starts, strict=True)
        ]
        log.add_block(values, len(good))

    def _keep_fast(self, log: Log) -> None:
        """Keep speed and load of a fast logger's rows, for the spectrum."""
        speed, load = log.measured("speed"), log.measured("load")
        if speed is None:
            return
        column = log.series[speed].column
        rows: list[tuple[float, float]] = []
        for line in log.lines:
            cells = line.split(self.delimiter)
            try:
                beside = float(cells[log.series[load].column.at - self._lead]) if load is not None else 0.0
                rows.append((float(cells[column.at - self._lead]) * column.scale + column.offset, beside))
            except (ValueError, IndexError):
                continue
        log.keep_fast(rows)


def _fits(row: Sequence[str], width: int) -> bool:
    """Tell whether a row has its columns; empty ones beyond them do no harm."""
    return len(row) == width or (len(row) > width and not any(cell.strip() for cell in row[width:]))
