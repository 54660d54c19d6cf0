"""One reading over its history: this machine's own normal, what changed and since when, and when it meets a limit."""

from __future__ import annotations

from math import isnan
from typing import TYPE_CHECKING, NamedTuple

from diagnose.calculations.baseline import Baseline, baseline, median, persistence, persistence_at_most, widened
from diagnose.calculations.control_charts import cusum, limit_for
from diagnose.calculations.trends import Trend, Until, time_to, trend
from diagnose.knowledge import model
from diagnose.reasoning.compile import fits, limit_value

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from diagnose.knowledge.model import Finding, Knowledge, Machine

__all__ = [
    "DAY",
    "Change",
    "Chart",
    "Fit",
    "History",
    "Stuck",
    "change_in",
    "common_persistence",
    "fit_of",
    "history_of",
    "limits_of",
    "stuck_in",
    "with_time_to",
    "without_gaps",
]

SLACK = 0.5  # half the shift to be noticed, in sigmas of a block's level
FEWEST = 8  # blocks of history below which only the profile's own normal is compared with
DAY = 1440.0
_SHARE, _MOST = 3, 120  # history: a third of the blocks, 120 at most, when the profile names none
_RECENT = 3  # blocks whose levels show whether a change still stands
_LONGEST = 60  # blocks that a slope is drawn through, evenly picked
_DOUBT = 1.5  # standard errors of doubt about the centre that are allowed for
_SURENESS = 2.0  # standard errors of doubt about the spread
_FENCE = 4.0  # sigmas beyond which a block of the history says nothing of persistence
_RARE = 1e-3  # chance at which an unmoving gauge is no longer taken as luck


class History(NamedTuple):
    """Which blocks are the good history: from, up to (not with)."""

    start: int
    end: int


class Change(NamedTuple):
    """A lasting change: since which block, which way, how far (canonical unit, at the usual load), step or drift.

    ``line`` is the slope a day with its interval, for a drift; ``until`` the days to the limit on its way.
    """

    since: int
    upward: bool
    size: float
    kind: str
    line: Trend | None
    until: Until | None


class Chart(NamedTuple):
    """A reading in the canonical unit with its normal and, where it changed, its blocks, its limits and the change."""

    finding: str
    unit: str
    times: Sequence[float]  # minutes
    values: Sequence[float]
    normal: Baseline
    limits: tuple[float | None, float | None]
    change: Change | None


class Fit(NamedTuple):
    """A reading's normal fitted to its history: every block's distance from it, the history's end, its persistence."""

    normal: Baseline
    residuals: Sequence[float]
    history: int
    lasting: float


class Stuck(NamedTuple):
    """A gauge that stopped moving: since which block, at what value."""

    since: int
    value: float


def limits_of(
    finding: Finding, knowledge: Knowledge, machine: Machine, usual: float
) -> tuple[float | None, float | None]:
    """Return the nearest lower and upper limit of a reading round its usual value, from the rules and this machine.

    Limits relative to the machine's normal are left out: the chart looks after those.
    """
    lower, upper = [], []
    for rule in knowledge.rules.values():
        if not fits(rule.needs, rule.lacks, machine.features):
            continue
        for one in rule.when:
            if (
                isinstance(one, model.Compare)
                and one.reading == finding.id
                and not one.limit.machine.startswith("normal-")
            ):
                limit = limit_value(one.limit, machine)
                if limit is not None and one.how in ("above", "at-least") and limit > usual:
                    upper.append(limit)
                elif limit is not None and one.how in ("below", "at-most") and limit < usual:
                    lower.append(limit)
    return max(lower, default=None), min(upper, default=None)


def fit_of(values: Sequence[float], beside: Sequence[Sequence[float]], history: History, accuracy: float) -> Fit:
    """Fit this machine's normal to its history; ``values`` and ``beside`` (load, ambient) are levels without gaps.

    ``accuracy`` is the gauge's standard uncertainty: a fifth of it is the least spread that is believed.
    """
    early = slice(history.start, history.end)
    normal = baseline(values[early], [one[early] for one in beside], least_spread=accuracy / 5)
    if beside:
        rows = zip(*beside, strict=True)
        residuals = [value - normal.expected(row) for value, row in zip(values, rows, strict=True)]
    else:
        centre = normal.centre
        residuals = [value - centre for value in values]
    edge = _FENCE * normal.spread
    lasting = persistence([max(-edge, min(edge, one)) for one in residuals[early]])
    return Fit(normal, residuals, history.end, lasting)


def common_persistence(fits: Iterable[Fit]) -> float:
    """Return the median persistence of a machine's readings.

    What makes one reading sluggish (weather, load, the steam) makes most of them so, and many together tell it far
    better than the short history of one: an estimate that comes out low by chance is what rings false alarms.
    """
    return median([fit.lasting for fit in fits] or [0.0])


def change_in(fit: Fit, times: Sequence[float], run_length: float, common: float = 0.0) -> Change | None:
    """Look for a lasting change after the history; None when there is none that still stands.

    ``run_length`` is how many blocks of this one reading may pass on average before a false alarm. What persists from
    block to block, in this reading (with one standard error of doubt) or in the machine's readings in common, widens
    the chart, and so does what is not known exactly of the spread (see ``widened``); doubt about the centre, about
    1/sqrt(n) of the chart's sigma, of which one and a half are allowed for, widens its slack.
    """
    normal = fit.normal
    doubt = _DOUBT * normal.count**-0.5
    lasting = max(persistence_at_most(fit.lasting, normal.count, 1.0), common)
    noise = normal.spread * widened(lasting, normal.count, _SURENESS)
    scores = [one / noise for one in fit.residuals]
    return _change(scores, times, normal, _Settings(noise, fit.history, limit_for(run_length, SLACK), SLACK + doubt))


class _Settings(NamedTuple):
    """How a chart is set: its sigma, the block it starts at, its limit and its slack in sigmas."""

    noise: float
    start: int
    limit: float
    slack: float


def _change(scores: Sequence[float], times: Sequence[float], normal: Baseline, chart: _Settings) -> Change | None:
    """Return the change that stands at the end, if any; one that came and went is none."""
    alarms = list(_alarms(scores, chart.start, chart.limit, chart.slack))
    if not alarms:
        return None
    _, since, upward = alarms[-1]
    recent = sorted(scores[-_RECENT:])[len(scores[-_RECENT:]) // 2]
    if (recent if upward else -recent) < chart.slack:
        return None
    for later, (at, begun, way) in zip(reversed(alarms), list(reversed(alarms))[1:], strict=False):
        if way != upward or later[1] - at > 2 * chart.limit:
            break
        since = begun
    return _described([score * chart.noise for score in scores], times, normal, since, upward=upward)


def _alarms(scores: Sequence[float], start: int, limit: float, slack: float) -> Iterator[tuple[int, int, bool]]:
    """Yield each alarm as (at, since, upward), the chart starting anew after each."""
    while (alarm := cusum(scores[start:], limit, slack)) is not None:
        yield start + alarm.at, start + alarm.since, alarm.upward
        start += alarm.at + 1


def _described(
    residuals: Sequence[float], times: Sequence[float], normal: Baseline, since: int, *, upward: bool
) -> Change:
    """Tell a drift from a step: a drift goes on moving after it began."""
    every = -(-(len(residuals) - since) // _LONGEST)
    picked = range(len(residuals) - 1, since - 1, -every)[::-1]
    days = [times[at] / DAY for at in picked]
    line = trend([day - days[-1] for day in days], [normal.centre + residuals[at] for at in picked])
    size = sum(residuals[-_RECENT:]) / len(residuals[-_RECENT:])
    drifts = line is not None and line.moves and (line.slope > 0) == upward
    drifts = drifts and line is not None and abs(line.slope) * (days[-1] - days[0]) > abs(size) / 2
    return Change(since, upward, size, "drift" if drifts else "step", line if drifts else None, None)


def with_time_to(change: Change, limits: tuple[float | None, float | None]) -> Change:
    """Add the days until the limit on its way, for a drift that has one."""
    limit = limits[1] if change.upward else limits[0]
    if change.line is None or limit is None:
        return change
    return change._replace(until=time_to(limit, change.line, upper=change.upward))


def history_of(times: Sequence[float], stretch: tuple[float, float] | None) -> History | None:
    """Return the good history: the stretch that the profile names, else the first third, 60 blocks at most."""
    if stretch:
        inside = [at for at, time in enumerate(times) if stretch[0] <= time < stretch[1]]
        found = History(inside[0], inside[-1] + 1) if inside else History(0, 0)
    else:
        found = History(0, min(_MOST, len(times) // _SHARE))
    return found if found.end - found.start >= FEWEST else None


def stuck_in(levels: Sequence[float], still: Sequence[bool | None]) -> Stuck | None:
    """Return since when a gauge has not moved at all, if by its own past that is no chance.

    ``still`` tells block by block whether it did not move, None for a block with one value or none, which tells
    nothing. With a share p of unmoving blocks before, k unmoving blocks in a row come with chance p^k.
    """
    rows = [(at, moved) for at, moved in enumerate(still) if moved is not None]
    since = len(rows)
    while since > 0 and rows[since - 1][1] and levels[rows[since - 1][0]] == levels[rows[-1][0]]:
        since -= 1
    unmoving = len(rows) - since
    share = (sum(bool(one) for _, one in rows[:since]) + 0.5) / (since + 1)
    if unmoving == 0 or since < FEWEST or share**unmoving >= _RARE:
        return None
    return Stuck(rows[since][0], levels[rows[-1][0]])


def without_gaps(
    times: Sequence[float], values: Sequence[float], beside: Iterable[Sequence[float]]
) -> tuple[Sequence[float], Sequence[float], Sequence[Sequence[float]]]:
    """Leave out the blocks in which the reading, or something it depends on, was not written."""
    columns = [times, values, *beside]
    if not any(map(isnan, map(sum, columns[1:]))):
        return times, values, columns[2:]
    rows = [row for row in zip(*columns, strict=True) if not any(map(isnan, row[1:]))]
    kept = [list(column) for column in zip(*rows, strict=True)] or [[] for _ in columns]
    return kept[0], kept[1], kept[2:]
