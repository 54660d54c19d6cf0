"""The debrief as a page: both paths, what each finding was worth, what to read."""

from itertools import pairwise

import pytest

from diagnose.reports.debrief import open_page
from diagnose.reports.debrief_chart import Path, Point, paths
from diagnose.reports.document import Figure, Table
from diagnose.reports.html import page
from diagnose.reports.picture import Line, Mark, Words
from tests.reports.training_pages import AT, cases, debriefed, done, knowledge, long_debrief, short_debrief


def blocks(document, kind):
    """Return the blocks of a kind."""
    return [one for section in document.sections for one in section.blocks if isinstance(one, kind)]


def test_every_check_of_both_paths_has_its_row():
    """As many rows as checks made, and as the program makes itself; each with minutes and bits."""
    quiz = done("course-wet-line", 6)
    yours, programs, _ = blocks(open_page(quiz, "t-1", AT), Table)
    assert len(yours.rows) == 6
    assert len(programs.rows) == len(quiz.own_path.looks) > 0
    minutes = sum(float(row[2]) for row in yours.rows)
    assert minutes == pytest.approx(quiz.minutes, abs=3)


def test_the_drawing_holds_both_paths_in_words_too():
    """One figure; its description tells the share after each check of either path."""
    (figure,) = blocks(debriefed(), Figure)
    told = figure.picture.description
    assert told.startswith("You: ")
    assert "Program: " in told
    assert told.count("minutes") >= 6


def test_a_path_without_checks_is_drawn():
    """Nothing looked at: the page says so and still draws the program's path."""
    text = page(short_debrief())
    assert "Your checks: none." in text
    assert "<svg" in text


def test_what_to_read_names_rules_causes_and_cautions():
    """The last table holds a rule, the true cause and the caution, each with place and source."""
    case = cases()["course-oil-low-before-the-start"]
    read = blocks(short_debrief(), Table)[-1]
    kinds = {row[0].split()[0] for row in read.rows}
    assert kinds == {"rule", "cause", "caution"}
    assert all(".yaml:" in row[2] and row[3] for row in read.rows)
    assert any(row[0].split()[1] in case.true_causes for row in read.rows)


def test_a_hostile_name_does_nothing():
    """The name of the trainee is text only."""
    assert "<script>alert" not in page(long_debrief())


def test_numbers_never_touch_and_steps_go_through_every_point():
    """Forty checks a minute apart: numbers stand 18 units apart, and each check has its step and caution mark."""
    points = tuple(Point(float(at), at / 80, "watch" if at == 7 else "") for at in range(1, 41))
    drawn = paths("x", 0.0, Path("You", "yours", points), Path("Program", "programs", points[:3]))
    above = [one.x for one in drawn.shapes if isinstance(one, Words) and one.role == "number" and one.y < 40]
    assert min(b - a for a, b in pairwise(above)) >= 18
    assert sum(isinstance(one, Line) and one.role == "yours" for one in drawn.shapes) == 80
    assert any(isinstance(one, Mark) and one.role == "watch" for one in drawn.shapes)


def test_the_page_names_the_source_of_a_curated_case():
    """Its source stands there spelt out."""
    assert "Source of the case: " in page(short_debrief())
    assert knowledge().causes["bearing-oil-low"].title in page(short_debrief())
