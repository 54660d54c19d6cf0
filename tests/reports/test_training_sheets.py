"""Sheets to print: both number the options alike, and only one tells what they count."""

import re

from diagnose.reports.document import Items, Table
from tests.reports.training_pages import answer_sheet, question_sheet


def numbered(section):
    """Return what stands numbered in a section: number -> text without what it counts."""
    texts = [item for block in section.blocks if isinstance(block, Items) for item in block.items]
    texts += [row[0] for block in section.blocks if isinstance(block, Table) for row in block.rows]
    found = [re.match(r"(\d+)\. ([^:(?]+)", text) for text in texts]
    return {int(one[1]): one[2].strip() for one in found if one}


def test_both_sheets_number_the_options_alike():
    """Each closed question has its numbers 1, 2, ... on the question sheet, and the same ones on the answer sheet."""
    asked, told = question_sheet().sections, answer_sheet().sections
    for question, answer in list(zip(asked, told, strict=False))[1:4]:
        options = numbered(question)
        assert sorted(options) == list(range(1, len(options) + 1))
        assert len(options) >= 4
        assert numbered(answer) == options


def test_a_right_order_names_the_stage_of_each_check():
    """The answer to an order stands stage by stage, earlier ones first."""
    (order,) = [block for block in answer_sheet().sections[3].blocks if isinstance(block, Items)]
    stages = [re.search(r"\(([a-z -]+)\)$", text)[1] for text in order.items]
    places = [("pre start", "warm up", "run up", "loaded").index(stage) for stage in stages]
    assert places == sorted(places)
    assert len(set(places)) > 1
