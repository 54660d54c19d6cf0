"""Operators' wording from outside texts finds the right finding.

377 phrases after naval manuals, NRC notices, licence questions and articles (plain_words.csv names each), written before
the search was looked at. Measured, right finding first / in the first three of 252 findings:

- first run, search and rules as they stood (plain_words_first_run.json, never changed): all 74.3 / 85.1 %,
  development half 74.2 / 85.2 %, held-out half 74.4 / 85.1 %;
- now: all 91.8 / 97.3 %, development half 97.8 / 100.0 %, held-out half 86.2 / 94.9 %. The development half is no
  measure any more: its failures led to the changes. The held-out failures were never looked at; but phrases and trade
  words have one author, so that the held-out half is not quite blind either. Titles of the shipped cases, by other
  authors and often about a cause, not a symptom: a reported finding in the first three for 66 % of 298.

Where the words tell a value: filled and right 83 %, filled wrong 0.9 %, else left to be asked.
"""

import json

import pytest

from diagnose.knowledge import library
from tests.published import plain_words

MUCH_WORSE = 3.0  # per cent: rules grow and move a few phrases; more is a fault


@pytest.fixture(scope="module")
def marks():
    return plain_words.mark(plain_words.wordings(), library.load().knowledge.findings)


def test_the_right_finding_is_among_the_first_three_for_nineteen_phrases_of_twenty(marks):
    """At least 95 % of all phrases have a right finding among the first three."""
    missed = [one.wording.phrase for one in marks if not 1 <= one.place <= 3]
    assert plain_words.figures(marks)["right in first three, %"] >= 95.0, missed


def test_phrases_that_never_guided_a_change_do_nearly_as_well(marks):
    """The held-out half stays near the figure it had when it was measured, far above the first run."""
    held_out = plain_words.figures(one for one in marks if one.wording.held_out)
    assert held_out["right in first three, %"] >= 94.9 - MUCH_WORSE
    assert held_out["right first, %"] >= 86.2 - MUCH_WORSE


def test_no_normal_value_is_filled_and_a_wrong_one_hardly_ever(marks):
    """No phrase is given a normal value, and at most 3 % of those that tell a value get another one."""
    figures = plain_words.figures(marks)
    assert figures["phrases with a normal value filled"] == 0
    assert figures["value filled wrong, %"] <= 3.0
    assert figures["value filled and right, %"] >= 80.0


def test_every_phrase_names_findings_and_values_of_the_rules():
    """The list holds at least 300 different phrases, and each of its findings and abnormal values exists."""
    findings = library.load().knowledge.findings
    listed = plain_words.wordings()
    assert len({one.phrase for one in listed}) == len(listed) >= 300
    for one in listed:
        assert set(one.findings) <= set(findings), one
        assert all(findings[name].values[value] is False for name, value in one.values.items()), one


def test_the_search_beats_its_first_run(marks):
    """Both halves find more in the first three than on the first run, whose figures are kept as they were."""
    first_run = json.loads(plain_words.LIST.with_name("plain_words_first_run.json").read_text(encoding="utf-8"))
    for half, held_out in (("development half", False), ("held-out half", True)):
        now = plain_words.figures(one for one in marks if one.wording.held_out == held_out)
        assert now["right in first three, %"] > first_run[half]["right in first three, %"] + 5
