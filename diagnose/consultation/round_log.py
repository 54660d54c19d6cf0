"""What is kept of one machine while its rounds are read: blocks of rows made into a few numbers each.

A block is a day of rounds, or an hour of a logger's. Of each reading a block keeps its level, which a few bad values
do not move: one number, so that ten years of fifty machines fit in little memory.
"""

from __future__ import annotations

from array import array
from math import inf, isfinite, nan
from operator import eq, ge, le
from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation.round_clock import Clock

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from diagnose.consultation.round_columns import Column

__all__ = ["DAY", "Complaint", "Complaints", "Log", "Numbers", "Series", "trimean"]

_TEXTS = 50_000  # numbers remembered by their text
_KEPT = 4096  # rows of a fast logger, for the spectrum
DAY, _HOUR = 1440.0, 60.0
_LOGGER = 2.0  # minutes between rows under which it is a logger's
_QUARTERS = 1.349  # sigmas between the quarter points of a normal distribution
_FAST = 10 / 60  # minutes between rows under which a swing of the speed can be seen


class Complaint(NamedTuple):
    """Something wrong in a file: its line (0: the file as a whole), a code, and what it is."""

    line: int
    code: str
    says: str


class Complaints:
    """Complaints in the order of their lines; the first few of a kind in full, the rest as a number."""

    def __init__(self, few: int = 12) -> None:
        self._few = few
        self._told: list[Complaint] = []
        self._count: dict[tuple[str, str], int] = {}

    def add(self, line: int, code: str, says: str, about: str = "") -> None:
        """Add one; ``about`` is what it is counted with, a machine or a column."""
        kind = (code, about)
        self._count[kind] = self._count.get(kind, 0) + 1
        if self._count[kind] <= self._few:
            self._told.append(Complaint(line, code, says))

    def all(self) -> tuple[Complaint, ...]:
        """Return them, with a line for each kind that was cut short."""
        more = (
            Complaint(0, code, f"{about or 'the file'}: {count - self._few} more like this")
            for (code, about), count in self._count.items()
            if count > self._few
        )
        return (*sorted(self._told, key=lambda one: one.line), *more)

    def counts(self) -> dict[str, int]:
        """Return how many there were of each code."""
        counts: dict[str, int] = {}
        for (code, _), count in self._count.items():
            counts[code] = counts.get(code, 0) + count
        return counts


class Numbers(dict[str, float]):
    """Numbers by their text: gauges show the same few again and again, and looking one up is quicker than reading it.

    >>> Numbers()["2.31"]
    2.31
    """

    __slots__ = ()

    def __missing__(self, text: str) -> float:
        value = float(text)
        if len(self) < _TEXTS:
            self[text] = value
        return value


class Series:
    """One column of one machine; ``low_ok`` to ``high_ok`` is what the instrument can show, in the sheet's unit."""

    __slots__ = ("column", "high_ok", "low_ok", "words")

    def __init__(self, column: Column, plausible: tuple[float, float] | None, words: Sequence[str] = ()) -> None:
        self.column = column
        self.words = tuple(words)  # of a finding without a number
        low, high = plausible or (-inf, inf)
        self.low_ok, self.high_ok = (low - column.offset) / column.scale, (high - column.offset) / column.scale

    def canonical(self, values: Sequence[float]) -> list[float]:
        """Bring values from the sheet's unit to the canonical one."""
        scale, offset = self.column.scale, self.column.offset
        return list(values) if (scale, offset) == (1.0, 0.0) else [value * scale + offset for value in values]


class Log:
    """One machine's rounds so far: the closed blocks of all its series, and the rows of the open block.

    ``levels`` holds one number a block and series, block by block. ``counts`` has the number of values where it is not
    the block's number of rows, ``still`` the blocks of a series in which it did not move at all.
    """

    __slots__ = (
        "_expected", "_highest", "_lowest", "also", "at_series", "clock", "counts", "day", "fast", "has_words",
        "latest", "levels", "lines", "machine", "numbers", "opened", "rows", "series", "sizes", "still", "times",
    )  # fmt: skip

    def __init__(self, machine: str, series: Sequence[Series]) -> None:
        self.machine = machine
        self.clock = Clock()
        self.also: tuple[Log, ...] = ()  # machines whose columns stand in the same rows
        self.series: tuple[Series, ...] = ()
        self.times, self.sizes = array("d"), array("L")  # of each block: minutes of its latest row, rows
        self.levels = array("d")
        self.counts: dict[tuple[int, int], int] = {}
        self.still: dict[int, set[int]] = {}
        self.rows = 0
        self.day = -1  # the open block
        self.opened = 0.0  # when it began
        self.lines: list[str] = []
        self.numbers: list[int] = []
        self.latest: tuple[float, list[str], list[int]] = (-inf, [], [])  # time, rows and lines of the newest block
        self.fast: list[tuple[float, float]] = []  # speed, load
        for one in series:
            self.add_series(one)

    def add_series(self, series: Series) -> None:
        """Add a series; in the blocks already closed nothing was written for it."""
        width, blocks, old = len(self.series), len(self.times), self.levels
        self.levels = array("d")
        for block in range(blocks):
            self.levels.extend(old[block * width : (block + 1) * width])
            self.levels.append(nan)
        self.counts.update({(block, width): 0 for block in range(blocks)})
        self.series = (*self.series, series)
        self.at_series = range(len(self.series))
        self.has_words = any(one.words for one in self.series)
        self._expect(0)

    def add_block(self, columns: Sequence[list[float]], size: int) -> None:
        """Close a block: the sorted values of every series, and how many rows it had."""
        block = len(self.times)
        for at, values in enumerate(columns):
            if len(values) != size:
                self.counts[block, at] = len(values)
            if values and values[0] == values[-1]:
                self.still.setdefault(at, set()).add(block)
        self._end([trimean(values) if values else nan for values in columns], size)

    def add_clean_block(self, cells: list[str], size: int, number: Callable[[str], float] = float) -> bool:
        """Close a block in which every series has all its values, given row by row; False when one is impossible.

        ``number`` reads a cell, such as the item of a ``Numbers``.

        A plain mean near the level last seen is taken as it is: no bad value in it can move it by more than half the
        scatter within a block. Any other block is sorted, so that bad values do not count.
        Raises ValueError when a cell is not a number.
        """
        width = len(self.series)
        sums = [sum(map(number, cells[at::width])) for at in self.at_series]
        if size != self._expected:
            self._expect(size)
        levels = [one / size for one in sums]
        if not (all(map(le, self._lowest, sums)) and all(map(ge, self._highest, sums))):
            for at in self.at_series:
                if not self._lowest[at] <= sums[at] <= self._highest[at]:
                    values = sorted(map(number, cells[at::width]))
                    if not self._look_closer(at, values, size):
                        return False
                    levels[at] = trimean(values)
        if any(map(eq, cells[:width], cells[-width:])):
            self._note_still(cells, size)
        self._end(levels, size)
        return True

    def _look_closer(self, at: int, values: list[float], size: int) -> bool:
        """Set how far the sum may lie from this block's before a closer look is due; False for impossible values."""
        series, level = self.series[at], trimean(values)
        if values[0] < series.low_ok or values[-1] > series.high_ok or not isfinite(sum(values)):  # float() takes nan
            return False
        scatter = (values[size - 1 - size // 4] - values[size // 4]) / _QUARTERS
        room = min(scatter * size, level - series.low_ok, series.high_ok - level) / 2
        middle = level * size
        if isfinite(self._lowest[at]):  # half-way to where it was: one block alone scatters more than the usual
            middle = (middle + (self._lowest[at] + self._highest[at]) / 2) / 2
        self._lowest[at], self._highest[at] = middle - room, middle + room
        return True

    def _note_still(self, cells: list[str], size: int) -> None:
        width, block = len(self.series), len(self.times)
        for at in self.at_series:
            if cells[at] == cells[at - width] and cells[at::width].count(cells[at]) == size:
                self.still.setdefault(at, set()).add(block)

    def _expect(self, size: int) -> None:
        """Take blocks of so many rows as the usual; of no level anything is known yet."""
        self._expected = size
        self._lowest, self._highest = [inf] * len(self.series), [-inf] * len(self.series)

    def _end(self, levels: list[float], size: int) -> None:
        self.levels.extend(levels)
        self.times.append(max(self.opened, self.clock.last or 0.0))
        self.sizes.append(size)

    def column(self, at: int) -> array[float]:
        """Return the levels of one series, block by block."""
        return self.levels[at :: len(self.series)]

    def stood_still(self, at: int) -> list[bool | None]:
        """Tell of each block whether a series did not move in it; None where one value or none cannot tell."""
        still = self.still.get(at, set())
        counts = (self.counts.get((block, at), size) for block, size in enumerate(self.sizes))
        return [block in still if count > 1 else None for block, count in enumerate(counts)]

    @property
    def block(self) -> float:
        """How many minutes a block spans."""
        return _HOUR if 0 < self.clock.step < _LOGGER else DAY

    @property
    def is_fast(self) -> bool:
        """Whether rows come quickly enough to see the speed swing."""
        return 0 < self.clock.step <= _FAST

    def keep_fast(self, rows: Sequence[tuple[float, float]]) -> None:
        """Keep the latest rows of speed and load."""
        self.fast = [*self.fast, *rows][-_KEPT:]

    def measured(self, name: str) -> int | None:
        """Return which series is of a finding, or of load or ambient."""
        return next((at for at, one in enumerate(self.series) if one.column.measured == name), None)


def trimean(values: list[float]) -> float:
    """(Q1 + 2 M + Q3) / 4 of sorted values. Source: Tukey, Exploratory data analysis (1977).

    >>> trimean([1.0, 2.0, 3.0, 4.0, 100.0])
    3.0
    """
    first, middle = len(values) // 4, len(values) // 2
    return (values[first] + 2 * values[middle] + values[len(values) - 1 - first]) / 4
