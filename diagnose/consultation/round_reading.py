"""Rounds read line by line into each machine's log, whatever their layout; every oddity becomes a complaint."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.consultation.round_blocks import Blocks, cut, series_of
from diagnose.consultation.round_clock import minutes, stamp
from diagnose.consultation.round_columns import read_header
from diagnose.consultation.round_log import DAY, Complaints, Log
from diagnose.consultation.round_points import PointBlocks
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from diagnose.consultation.round_clock import Oddity
    from diagnose.consultation.round_log import Series
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
        self._times: dict[str, tuple[float, int]] = {}
        self._by_cell: dict[str, Log] = {}
        self._closed = 0
        clocks = {one.rounds.clock for one in knowledge.site.machines.values() if one.rounds}
        self._orders = sorted(clocks) or ["year-first"]

    def read(self, lines: Iterable[str]) -> None:
        """Read all lines, header first."""
        lines = iter(lines)
        header = next((line for line in lines if line.strip()), "")
        if not header:
            raise DiagnoseError("The file is empty.", mend="Its first line holds the names of the columns.")
        self._delimiter = max(_DELIMITERS, key=header.count)
        cells = cut(header, self._delimiter)
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
        known = (self._knowledge, self.complaints)
        self._blocks = (
            PointBlocks(sheet, delimiter, *known) if sheet.value >= 0 else Blocks(sheet, delimiter, keep, *known)
        )
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
        cells = cut(line, self._delimiter)
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
            columns, findings = self.sheet.columns.get(machine, ()), self._knowledge.findings
            self.logs[machine] = Log(machine, [series_of(one, findings) for one in columns])
        return self.logs[machine]

    def _odd(self, at: int, odd: Oddity, log: Log, when: float) -> None:
        size = f"{odd.size / 60:.3g} h" if odd.size >= 60 else f"{odd.size:.3g} min"  # noqa: PLR2004
        says = f"{log.machine} {stamp(when)}: {_ODD[odd.code].format(size)}"
        self.complaints.add(at, odd.code, says, log.machine)

    def _first_complaint(self) -> str:
        return next((f"Line {one.line}: {one.says}." for one in self.complaints.all()), "")

    def _close(self, log: Log) -> None:
        """Make the open block's rows into numbers."""
        if log.lines:
            self._blocks.close(log)
            self._closed += 1
            if self._closed % _EVERY == 0:
                self._progress()

    def cells_of(self, log: Log, series: Series) -> Iterator[tuple[str, int]]:
        """Yield a series' cells of the newest block with their lines, newest first."""
        return self._blocks.cells_of(log, series)


class _Same(dict[str, Log]):
    """The log of every row of a file that names no machine."""

    def __init__(self, log: Log | None) -> None:
        super().__init__()
        self._log = log

    def __missing__(self, _: str) -> Log:
        if self._log is None:
            raise KeyError
        return self._log


def _quoted(cell: str, delimiter: str) -> str:
    return f'"{cell}"' if delimiter in cell else cell
