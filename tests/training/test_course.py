"""Courses and the spacing of what was missed."""

from pathlib import Path

from diagnose.knowledge import library
from diagnose.training.course import Course, Part, next_case, progress, read_course

COURSE = Course("A course", (Part("One", ("a", "b", "c", "d", "e", "f")),), again_after=2)


def served(*rows):
    """Turn 'a+' and 'a-' into a history."""
    return [(row[0], row[1] == "+") for row in rows]


def test_new_cases_come_in_order():
    """Without a miss each next case is the first that was not served."""
    assert next_case(COURSE, []) == "a"
    assert next_case(COURSE, served("a+", "b+")) == "c"


def test_a_missed_case_comes_back_after_the_gap_and_not_before():
    """With a gap of two, a miss waits for two others."""
    assert next_case(COURSE, served("a-", "b+")) == "c"
    assert next_case(COURSE, served("a-", "b+", "c+")) == "a"


def test_it_comes_back_evenly_until_passed_twice_running():
    """The gap stays the same, and after two passes the case is done."""
    once = served("a-", "b+", "c+", "a+")
    assert next_case(COURSE, once) == "d"
    assert next_case(COURSE, [*once, ("d", True), ("e", True)]) == "a"
    assert next_case(COURSE, [*once, ("d", True), ("e", True), ("a", True)]) == "f"


def test_the_end_serves_what_is_still_missed():
    """When nothing new is left a missed case need not wait; when nothing is missed the course is done."""
    end = served("a+", "b+", "c+", "d+", "e+", "f-")
    assert next_case(COURSE, end) == "f"
    assert next_case(COURSE, [*end, ("f", True), ("f", True)]) == ""
    assert progress(COURSE, end) == (5, 6)


def test_faults_of_a_course_are_all_told_with_their_lines():
    """An unknown case, one that stands twice and a wrong number are named with what mends them."""
    text = "title: T\npass-mark: many\npart: One\noil-low\noil-lo\noil-low\nNot an id\n"
    _, problems = read_course(text, "c.txt", {"oil-low"})
    assert [(one.place.line, one.code) for one in problems] == [
        (1, "not-a-number"),
        (5, "unknown-case"),
        (6, "case-twice"),
        (7, "not-a-case"),
    ]
    assert "oil-low" in problems[1].mend


def test_the_shipped_course_is_whole(cases):
    """It has 40 cases or more, each with a teaching note and a source, from before the start to after the stop."""
    path = Path(library.shipped_cases()) / "course" / "operator.txt"
    course, problems = read_course(path.read_text(encoding="utf-8"), path.name, cases)
    assert problems == ()
    assert len(course.cases) >= 40
    assert all(cases[name].teaches and cases[name].source for name in course.cases)
    assert cases[course.cases[0]].phase == "pre-start"
    assert cases[course.parts[-1].cases[0]].phase == "shutdown"
