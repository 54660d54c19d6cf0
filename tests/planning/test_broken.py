"""Slips of planners in real rule files: the right line, and the right mend first."""

import pytest

from diagnose.knowledge.library import load_texts
from tests.planning.broken.breakages import BREAKAGES, told
from tests.planning.broken.held_out import HELD_OUT


def test_the_files_are_clean_before_they_are_broken():
    """What is told of a broken file comes from its slip alone."""
    texts, _ = BREAKAGES[0].texts()
    texts[f"rules/{BREAKAGES[0].file}"] = texts[f"rules/{BREAKAGES[0].file}"].replace(
        BREAKAGES[0].new.replace("§", ""), BREAKAGES[0].old
    )
    assert load_texts(texts)[1] == ()


def test_there_are_two_hundred_different_slips():
    """No slip stands twice in the list."""
    assert len({(one.file, one.old, one.new) for one in BREAKAGES}) == len(BREAKAGES) >= 200


@pytest.mark.parametrize("breakage", BREAKAGES, ids=lambda one: one.name)
def test_a_slip_is_told_with_its_line(breakage):
    """Among the problems is one on the line that has to be mended."""
    named, _, line, words = told(breakage, load_texts)
    assert named, f"wanted line {line}, got {words}"


def test_the_right_mend_stands_first_for_nine_in_ten():
    """The first problem is on that line and says how to mend it, for at least 90 % of the slips."""
    right = sum(told(one, load_texts)[1] for one in BREAKAGES)
    assert right >= 0.9 * len(BREAKAGES)


@pytest.mark.parametrize("breakage", HELD_OUT, ids=lambda one: one.name)
def test_a_slip_that_no_message_was_written_for_is_told_with_its_line(breakage):
    """Among the problems is one on the line that has to be mended, or one whose words name the entry there."""
    named, _, line, words = told(breakage, load_texts)
    texts, _ = breakage.texts()
    entry = texts[f"rules/{breakage.file}"].split("\n")[:line]
    begins = max((at for at, one in enumerate(entry, 1) if one[:3].strip() and one.startswith("  ")), default=line)
    assert named or f"{breakage.file}:{line}" in words or f"{breakage.file}:{begins}" in words, words


def test_the_right_mend_stands_first_for_nine_in_ten_of_those_too():
    """Sixty slips, six of each kind, written before they were run."""
    assert len({(one.file, one.old, one.new) for one in HELD_OUT}) == len(HELD_OUT) == 60
    assert sum(told(one, load_texts)[1] for one in HELD_OUT) >= 0.9 * len(HELD_OUT)
