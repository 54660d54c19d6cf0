"""Rounds read line by line into each machine's log, whatever their layout; every oddity becomes a complaint.

The usual case, a block of clean rows, is cut up and converted a column at a time by built-in functions; a block that
is not clean is gone through cell by cell.
"""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING

from diagnose.consultation.round_cells import CellError, number
from diagnose.consultation.round_clock import minutes, stamp
from diagnose.consultation.round_columns import Column, read_header
from diagnose.consultation.round_log import DAY, Complaints, Log, Series
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from diagnose.consultation.round_clock import Oddity
    from diagnose.knowledge.model import Knowledge

__all__ = ["RoundsReader"]

_DELIMITERS = (",", ";", "\t", "|")
_EVERY = 500  # blocks between reports of progress
_REMEMBERED = 50_000  # times read
_ODD = {
    "gap": "nothing was written for {0}",
    "set-back": "the clock went back by {0}",
    "set-forward": "the clock went forward by {0}, or a round was left out",
    "twice": "the time stands twice; the later row is left out",
}


class RoundsReader:
    """Reads one file; ``logs`` holds what came of each machine, ``complaints`` what was wrong.

    Raises DiagnoseError when the header says too little, or no row could be read.
    """

    def __init__(self, knowledge: Knowledge, only: str = "", progress: Callable[[], None] = lambda: None) -> None:
        self.logs: dict[str, Log] = {}
        self.complaints = Complaints()
        self._knowledge, self._only, self._progress = knowledge, only, progress
        self.newest: dict[str, dict[str, tuple[str, int]]] = {}  # of a file with one row a value: machine, header, cell
        self._times: dict[str, tuple[float, int]] = {}
        self._by_cell: dict[str, Log] = {}
        self._blocks = 0
        self._lead = 0  # columns in front that are cut off each row: time and machine
        clocks = {one.rounds.clock for one in knowledge.site.machines.values() if one.rounds}
        self._orders = sorted(clocks) or ["year-first"]

    def read(self, lines: Iterable[str]) -> None:
        """Read all lines, header first."""
        lines = iter(lines)
        header = next((line for line in lines if line.strip()), "")
        if not header:
            raise DiagnoseError("The file is empty.", mend="Its first line holds the names of the columns.")
        self._delimiter = max(_DELIMITERS, key=header.count)
        cells = self._cells(header)
        self.sheet = read_header(cells, self._knowledge, self._only)
        for says in self.sheet.complaints:
            self.complaints.add(1, "unknown-column", says)
        self._rows(lines, header)
        for log in self.logs.values():
            self._close(log)
        self.rows = sum(log.rows for log in self.logs.values())
        if not any(log.rows for log in self.logs.values()):
            raise DiagnoseError("No row of the file could be read.", mend=self._first_complaint())

    # ---- rows

    def _rows(self, lines: Iterable[str], header: str) -> None:
        sheet, delimiter, times = self.sheet, self._delimiter, self._times
        at_time, at_machine = sheet.time, max(sheet.machine, 0)
        cuts = max(at_time, sheet.machine) + 1
        by_cell = self._by_cell
        if sheet.machine < 0:
            by_cell = self._by_cell = _Same(self._logs_of("", 1))
        in_front = all(one.at >= cuts for own in sheet.columns.values() for one in own)
        keep = self._lead = cuts if in_front and sheet.value < 0 and cuts < sheet.width else 0
        several = sheet.machine < 0
        for at, line in enumerate(lines, start=2):
            head = line.split(delimiter, cuts)
            try:
                when, day = times[head[at_time]]
                log = by_cell[head[at_machine]]
                row = head[keep] if keep else line
            except (KeyError, IndexError):
                first = self._first_seen(at, line, header)
                if first is None:
                    continue
                (when, day), log, row = first
            clock = log.clock
            last = clock.last
            if last is not None and when - last == clock.step and day == log.day:
                clock.last = when  # the usual case, without a call
            elif not self._turn(log, when, day, at):
                continue
            log.lines.append(row)
            log.numbers.append(at)
            if several:
                self._also(log, when, day, at, row)

    def _also(self, log: Log, when: float, day: int, at: int, row: str) -> None:
        """Give the row to the other machines whose columns stand in it."""
        for other in log.also:
            if self._turn(other, when, day, at):
                other.lines.append(row)
                other.numbers.append(at)

    def _turn(self, log: Log, when: float, day: int, at: int) -> bool:
        """Take a time that is odd, or begins another block; tell whether the row is to be kept."""
        before = log.clock.last
        odd = log.clock.odd(when)
        many = self.sheet.value >= 0  # many rows of one time
        if odd is not None and not (many and odd.code == "twice"):
            self._odd(at, odd, log, when)
            if odd.code == "twice":
                return False
        key = day if log.block == DAY else int(when // log.block)
        if key != log.day:
            log.clock.last = before
            self._close(log)
            log.clock.last = log.opened = when
            log.day = key
        return True

    def _first_seen(self, at: int, line: str, header: str) -> tuple[tuple[float, int], Log, str] | None:
        """Read a row whose time or machine has not been met before; None when it must be left out."""
        sheet = self.sheet
        if not line.strip() or line == header:
            return None
        cells = self._cells(line)
        if len(cells) <= max(sheet.time, sheet.machine):
            self.complaints.add(at, "short-row", f"{len(cells)} columns where {sheet.width} are wanted; left out")
            return None
        head = line.split(self._delimiter, max(sheet.time, sheet.machine) + 1)
        named = cells[sheet.machine] if sheet.machine >= 0 else ""
        log = self._logs_of(named.strip(), at)
        when = self._time(cells[sheet.time], at)
        if log is None or when is None:
            return None
        if '"' not in line:
            self._times[head[sheet.time]] = when
            self._by_cell[named] = log
        row = self._delimiter.join(_quoted(cell, self._delimiter) for cell in cells[self._lead :])
        return when, log, row

    def _time(self, text: str, at: int) -> tuple[float, int] | None:
        if len(self._times) > _REMEMBERED:
            self._times.clear()
        read = (minutes(text, order) for order in self._orders)
        when = next((one for one in read if one is not None), None)
        if when is None:
            self.complaints.add(at, "no-time", f"'{text.strip()[:40]}' is not a time; the row is left out")
            return None
        return when, int(when // DAY)

    def _logs_of(self, named: str, at: int) -> Log | None:
        """Return the log of the machine named; or the first of those named in the header, which knows the others."""
        sheet = self.sheet
        if sheet.machine < 0 or self._only:
            wanted = [self._only] if self._only else list(sheet.columns) or list(self._knowledge.site.machines)[:1]
            logs = [self._log(machine) for machine in wanted]
            logs[0].also = tuple(logs[1:])
            return logs[0]
        known = sheet.by_name.get(named.lower())
        if known is None:
            near = did_you_mean(named, sheet.by_name)
            says = f"the site has no machine '{named[:40]}'; left out. {near}".rstrip()
            self.complaints.add(at, "unknown-machine", says, f"machine {named[:40]}")
            return None
        return self._log(known)

    def _log(self, machine: str) -> Log:
        if machine not in self.logs:
            self.logs[machine] = Log(machine, [self._series(one) for one in self.sheet.columns.get(machine, ())])
        return self.logs[machine]

    def _series(self, column: Column) -> Series:
        finding = self._knowledge.findings.get(column.measured)
        if finding is None:
            return Series(column, None)
        return Series(column, finding.reading.plausible if finding.reading else None, tuple(finding.values))

    def _odd(self, at: int, odd: Oddity, log: Log, when: float) -> None:
        size = f"{odd.size / 60:.3g} h" if odd.size >= 60 else f"{odd.size:.3g} min"  # noqa: PLR2004
        says = f"{log.machine} {stamp(when)}: {_ODD[odd.code].format(size)}"
        self.complaints.add(at, odd.code, says, log.machine)

    def _first_complaint(self) -> str:
        return next((f"Line {one.line}: {one.says}." for one in self.complaints.all()), "")

    # ---- blocks

    def _close(self, log: Log) -> None:
        """Make the open block's rows into numbers."""
        lines = log.lines
        if not lines:
            return
        log.rows += len(lines)
        self._blocks += 1
        if self._blocks % _EVERY == 0:
            self._progress()
        if self.sheet.value >= 0:
            self._close_long(log)
        elif not self._close_clean(log):
            self._close_slowly(log)
        if (log.clock.last or 0.0) >= log.latest[0]:
            log.latest = (log.clock.last or 0.0, lines, log.numbers)
        if log.is_fast:
            self._keep_fast(log)
        log.lines, log.numbers = [], []

    def _close_clean(self, log: Log) -> bool:
        """Take a block in one go; False when something in it needs looking at."""
        text, width, size = self._delimiter.join(log.lines), self.sheet.width - self._lead, len(log.lines)
        if log.has_words or '"' in text:
            return False
        cells = text.split(self._delimiter)
        if len(cells) == width * size and len(log.series) < width:
            cells = self._picked(cells, log, width)
        try:
            return len(cells) == size * len(log.series) and log.add_clean_block(cells, size)
        except ValueError:
            return False

    def _picked(self, cells: list[str], log: Log, width: int) -> list[str]:
        """Return the cells of the wanted columns among others, row by row."""
        columns = [cells[one.column.at - self._lead :: width] for one in log.series]
        return [cell for row in zip(*columns, strict=True) for cell in row]

    def _close_slowly(self, log: Log) -> None:
        """Go through a block row by row and cell by cell."""
        width = self.sheet.width - self._lead
        rows = [(self._cells(line), at) for line, at in self._rows_of(log)]
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
            self._numbers(one, columns[start], numbers, log.machine)
            for one, start in zip(log.series, starts, strict=True)
        ]
        log.add_block(values, len(good))

    def _cells(self, line: str) -> list[str]:
        """Cut one line into cells; an empty line is one empty cell."""
        try:
            return next(csv.reader([line], delimiter=self._delimiter), []) or [""]
        except csv.Error:  # a cell longer than the library takes
            return line.split(self._delimiter)

    @staticmethod
    def _rows_of(log: Log) -> Iterable[tuple[str, int]]:
        return zip(log.lines, log.numbers, strict=True)

    def _numbers(self, series: Series, cells: Sequence[str], lines: Sequence[int], machine: str) -> list[float]:
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
        rounds = self._knowledge.site.machines[machine].rounds
        return rounds is not None and rounds.decimal == "comma"

    def _close_long(self, log: Log) -> None:
        """Take a block of a file with one row a value, making a series for each reading met."""
        sheet = self.sheet
        by_name: dict[str, list[tuple[str, int]]] = {}
        for line, at in self._rows_of(log):
            row = self._cells(line)
            if len(row) > max(sheet.reading, sheet.value):
                unit = row[sheet.units].strip() if 0 <= sheet.units < len(row) else ""
                header = f"{row[sheet.reading].strip()} [{unit}]" if unit else row[sheet.reading].strip()
                by_name.setdefault(header, []).append((row[sheet.value], at))
        for header, pairs in by_name.items():
            self._named_series(header, log, pairs[0][1])
        columns: list[list[float]] = []
        for series in log.series:
            pairs = by_name.get(series.column.header, [])
            columns.append(self._numbers(series, [cell for cell, _ in pairs], [at for _, at in pairs], log.machine))
            self.newest.setdefault(log.machine, {}).update({series.column.header: pairs[-1]} if pairs else {})
        log.add_block(columns, max(map(len, columns), default=0))

    def _named_series(self, header: str, log: Log, at: int) -> None:
        if any(one.column.header == header for one in log.series):
            return
        try:
            named = read_header(["time", header], self._knowledge, log.machine)
        except DiagnoseError:
            self.complaints.add(at, "unknown-column", f"{log.machine}: '{header}' is not known; left out", header)
            return
        log.add_series(self._series(named.columns[log.machine][0]))

    def cells_of(self, log: Log, series: Series) -> Iterator[tuple[str, int]]:
        """Yield a series' cells of the newest block with their lines, newest first."""
        if self.sheet.value >= 0:
            yield from filter(None, [self.newest.get(log.machine, {}).get(series.column.header)])
            return
        _, lines, numbers = log.latest
        rows = zip(lines, numbers, strict=True)
        for line, at in rows if log.clock.direction < 0 else reversed(list(rows)):
            row = self._cells(line)
            if _fits(row, self.sheet.width - self._lead):
                yield row[series.column.at - self._lead], at

    def _keep_fast(self, log: Log) -> None:
        """Keep speed and load of a fast logger's rows, for the spectrum."""
        speed, load = log.measured("speed"), log.measured("load")
        if speed is None:
            return
        column = log.series[speed].column
        rows: list[tuple[float, float]] = []
        for line in log.lines:
            cells = line.split(self._delimiter)
            try:
                beside = float(cells[log.series[load].column.at - self._lead]) if load is not None else 0.0
                rows.append((float(cells[column.at - self._lead]) * column.scale + column.offset, beside))
            except (ValueError, IndexError):
                continue
        log.keep_fast(rows)


class _Same(dict[str, Log]):
    """The log of every row of a file that names no machine."""

    def __init__(self, log: Log | None) -> None:
        super().__init__()
        self._log = log

    def __missing__(self, _: str) -> Log:
        if self._log is None:
            raise KeyError
        return self._log


def _fits(row: Sequence[str], width: int) -> bool:
    """Tell whether a row has its columns; empty ones beyond them do no harm."""
    return len(row) == width or (len(row) > width and not any(cell.strip() for cell in row[width:]))


def _quoted(cell: str, delimiter: str) -> str:
    return f'"{cell}"' if delimiter in cell else cell
