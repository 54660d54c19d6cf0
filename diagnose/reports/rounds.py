"""Rounds of a site as a page: which machines need a consultation, why, and each changed reading drawn over time."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from diagnose.consultation.round_clock import stamp
from diagnose.consultation.saying import number_words
from diagnose.consultation.wording import plain
from diagnose.reports.document import Block, Document, Facts, Figure, Items, Para, Section, Table
from diagnose.reports.picture import Bar, Line, Picture, Shape, Words, shortened

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from diagnose.consultation.round_judging import Chart
    from diagnose.consultation.rounds import MachineRounds, Rounds
    from diagnose.knowledge.model import Knowledge

__all__ = ["drawn", "rounds_page"]

_WIDTH, _HEIGHT, _TOP, _LEFT = 640.0, 150.0, 16.0, 104.0
_POINTS = 120  # drawn of a chart; more would not show


def rounds_page(rounds: Rounds, knowledge: Knowledge, source: str) -> Document:
    """Return the page; ``source`` names the file the rounds came from."""
    need = [one for one in rounds.machines if one.needs_consultation]
    rows = tuple(_row(one) for one in rounds.machines)
    overview = Section(
        "machines",
        f"{len(need)} of {len(rounds.machines)} machines need a consultation",
        (Table("Machines in the rounds", ("Machine", "Consultation", "Why", "Rounds"), rows),),
    )
    named = (one for one in rounds.machines if one.reasons)
    sections = [_section(one, knowledge) for one in named]
    return Document(
        "Rounds",
        f"{source}: {rounds.rows} rows",
        (overview, *sections, Section("file", "What was wrong in the file", tuple(_complaints(rounds)))),
        (
            (
                f"The charts are set for {rounds.false_alarms:g} false alarms a machine and year, allowing for scatter "
                "that lasts from day to day as it did in the machine's history."
            ),
            "It advises and operates nothing: local procedures and the supervisor come first.",
        ),
    )


def _row(one: MachineRounds) -> tuple[str, ...]:
    why = "; ".join(reason.says for reason in one.reasons) or "nothing out of its normal"
    return one.machine, "needed" if one.needs_consultation else "not needed", why, f"{one.rows}"


def _section(one: MachineRounds, knowledge: Knowledge) -> Section:
    title = knowledge.site.machines[one.machine].title
    changed = [chart for chart in one.charts if chart.change is not None]
    blocks: list[Block] = [
        Facts((("Rounds", f"{one.rows}, from {one.first} to {one.last}"),)),
        Items(tuple(reason.says for reason in one.reasons)),
        *(Figure(drawn(one.machine, chart, knowledge)) for chart in changed),
    ]
    return Section(f"machine-{_id(one.machine)}", f"{one.machine}: {title}", tuple(blocks))


def _complaints(rounds: Rounds) -> Iterator[Block]:
    if not rounds.complaints:
        yield Para("Nothing.")
        return
    yield Items(tuple(f"line {one.line}: {one.says}" if one.line else one.says for one in rounds.complaints))


def drawn(machine: str, chart: Chart, knowledge: Knowledge) -> Picture:
    """Draw a reading over time: its levels, the band of its normal, its limits, and where the change began."""
    values, times = _thinned(chart.values), _thinned(chart.times)
    lowest, highest = _reach(chart, values)

    def words(value: float) -> str:
        return number_words(value, chart.unit, knowledge)

    def across(at: float) -> float:
        return _LEFT + (_WIDTH - _LEFT - 8) * (at - times[0]) / ((times[-1] - times[0]) or 1.0)

    def down(value: float) -> float:
        return _TOP + _HEIGHT * (highest - value) / ((highest - lowest) or 1.0)

    normal = chart.normal
    band = down(normal.centre + 3 * normal.spread), down(normal.centre - 3 * normal.spread)
    shapes: list[Shape] = [
        Bar(_LEFT, band[0], _WIDTH - _LEFT - 8, max(1.0, band[1] - band[0]), "spread"),
        Line(_LEFT, _TOP, _LEFT, _TOP + _HEIGHT, "axis"),
        Line(_LEFT, _TOP + _HEIGHT, _WIDTH - 8, _TOP + _HEIGHT, "axis"),
        Words(_LEFT - 6, _TOP + 10, words(highest), "note", "end"),
        Words(_LEFT - 6, _TOP + _HEIGHT, words(lowest), "note", "end"),
        Words(_LEFT, _TOP + _HEIGHT + 16, stamp(times[0])[:10], "note"),
        Words(_WIDTH - 8, _TOP + _HEIGHT + 16, stamp(times[-1])[:10], "note", "end"),
    ]
    for limit in chart.limits:
        if limit is not None and lowest <= limit <= highest:
            shapes += [
                Line(_LEFT, down(limit), _WIDTH - 8, down(limit), "limit"),
                Words(_WIDTH - 8, down(limit) - 4, f"limit {words(limit)}", "note", "end"),
            ]
    points = [(across(at), down(value)) for at, value in zip(times, values, strict=True)]
    shapes += [Line(x, y, next_x, next_y, "step") for (x, y), (next_x, next_y) in pairwise(points)]
    if chart.change is not None:
        since = across(chart.times[chart.change.since])
        beside, side = (since + 4, "start") if since < _WIDTH - 120 else (since - 4, "end")  # room for the words
        shapes += [
            Line(since, _TOP, since, _TOP + _HEIGHT, "usual"),
            Words(beside, _TOP + 10, f"since {stamp(chart.times[chart.change.since])[:10]}", "note", side),
        ]
    title = f"{plain(chart.finding)} of {machine}"
    told = (
        f"From {stamp(times[0])[:10]} to {stamp(times[-1])[:10]}: usual {words(normal.centre)}, "
        f"latest {words(values[-1])}, lowest {words(min(values))}, highest {words(max(values))}. "
        "Shaded: three sigma of its normal."
    )
    return Picture(
        f"trend-{_id(machine)}-{chart.finding}", _WIDTH, _TOP + _HEIGHT + 24, shortened(title, 80), told, tuple(shapes)
    )


def _reach(chart: Chart, values: Sequence[float]) -> tuple[float, float]:
    """Return what the axis spans: all values and the normal's band, and a limit when it is not far off."""
    low = min(*values, chart.normal.centre - 4 * chart.normal.spread)
    high = max(*values, chart.normal.centre + 4 * chart.normal.spread)
    near = [limit for limit in chart.limits if limit is not None and low - (high - low) <= limit <= high + (high - low)]
    low, high = min([low, *near]), max([high, *near])
    room = (high - low) * 0.05
    return low - room, high + room


def _thinned(values: Sequence[float]) -> list[float]:
    """Return at most so many of the values as a drawing can show, the last among them."""
    every = -(-len(values) // _POINTS)
    return list(values[::-every][::-1])


def _id(text: str) -> str:
    return "".join(letter if letter.isalnum() else "-" for letter in text)
