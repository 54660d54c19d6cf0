"""A handover counts what happened, names repeats and open items, and leads with the cautions."""

from __future__ import annotations

from diagnose.reports.document import Alert, Facts, Figure, Table
from diagnose.reports.html import page
from tests.reports.pages import at, shift
from tests.reports.test_consultation_report import blocks


def test_counts_are_those_of_the_entries():
    """Four consultations, one of them closed, and one round are counted as such."""
    facts = dict(row for block in blocks(shift(), Facts) for row in block.rows)
    assert facts == {"Consultations": "4", "Rounds": "1", "Closed": "1", "Open": "3"}


def test_open_items_are_exactly_those_without_an_outcome():
    """The table of open items lists the three open ones and not the closed."""
    table = next(block for block in blocks(shift(), Table) if block.caption == "No outcome recorded yet")
    assert [row[0] for row in table.rows] == ["a", "b", "d"]


def test_a_repeat_on_one_machine_is_named_with_the_cause_that_led_twice():
    """Only the machine with two consultations is named, with its cause."""
    text = page(shift())
    assert "P-1: 2 consultations; the same cause led more than once: Jacket leak (2 times)." in text
    assert "P-2: " not in text.split("Repeats on the same machine")[1].split("Every consultation")[0]


def test_the_worst_caution_comes_first():
    """Cautions stand in the order of their ranks."""
    assert [block.rank for block in blocks(shift(), Alert)] == ["stop-now", "watch"]


def test_a_mark_stands_where_its_consultation_lies_in_the_span():
    """A consultation at three fifths of the span is drawn at three fifths of the line."""
    picture = next(block.picture for block in blocks(shift(), Figure) if block.picture.id == "chart-span")
    lines = [shape for shape in picture.shapes if shape.kind == "line"]
    marks = [shape for shape in picture.shapes if shape.kind == "mark"]
    share = (marks[2].x - lines[0].x) / (lines[0].to_x - lines[0].x)
    assert abs(share - 0.6) < 1e-9
    assert len(marks) == 4


def test_a_span_without_anything_is_a_page_that_says_so():
    """With no entry each section says that there is nothing."""
    text = page(shift([]))
    for says in ("No consultation was begun", "No caution stands", "No machine had more", "None."):
        assert says in text
    assert at(0)[:10] in text
