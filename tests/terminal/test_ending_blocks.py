"""The ending, the same for screen and plain lines."""

import pytest
from sample_views import ASKING, CALL, ENDED, NOTHING_YET, STOP, WATCH

from diagnose.consultation.view import Weight
from diagnose.consultation.wording import AUTHORITY, STATEMENT
from diagnose.terminal.ending import blocks
from diagnose.terminal.lines import text_of
from diagnose.terminal.plain import ending_text
from diagnose.terminal.screen import ending_lines


def lines_of(view, title):
    """Return the sentences under a heading."""
    return [text for block in blocks(view) if block.title == title for _, text in block.lines]


def test_cautions_stand_first_and_the_highest_rank_before_all():
    """Whatever the order they came in, stop-now is the first sentence of the ending."""
    view = ENDED._replace(cautions=(WATCH, CALL, STOP))
    first = blocks(view)[0]
    ranks = [text.split(":")[0] for _, text in first.lines if text.split(":")[0].isupper()]
    assert ranks == ["STOP NOW", "CALL THE SUPERVISOR", "WATCH"]


def test_each_caution_says_what_to_do_the_procedure_and_what_it_rests_on():
    """A caution is complete in the ending."""
    said = lines_of(ENDED, "Cautions")
    assert f"Do: {CALL.do}" in said
    assert "Local procedure: exhaust pressure high (OP-114)." in said
    assert "Because: Exhaust pressure: 2.9 bar gauge." in said


def test_evidence_for_and_against_a_cause_is_in_words_and_numbers():
    """Each cause has what speaks for it and what against it, weighed in words with the number."""
    said = lines_of(ENDED, "Evidence for and against")
    assert said[0] == "Cause 1: Cooling water leaks from the jacket into the bearing housing."
    assert "For cause 1: bearing oil look milky: strongly for (+14)." in said
    assert "Against cause 1: oiler level falling: slightly against (-3)." in said
    assert "For cause 2: nothing that was answered." in said


def test_what_the_rules_do_not_cover_is_a_row_of_its_own():
    """The row of what is not covered has its rank and its share like any cause."""
    assert "Cause 3 of 3: Something these rules do not cover, very unlikely, 8 percent." in lines_of(
        ENDED, "Likely causes"
    )


def test_what_to_do_stands_before_the_evidence():
    """Who is in a hurry reads cautions, the radio lines, causes and what to do first."""
    titles = [block.title for block in blocks(ENDED)]
    order = ["Cautions", "Read this to your supervisor", "Likely causes", "What to do", "Evidence for and against"]
    assert [title for title in titles if title in order] == order


def test_an_answer_that_hardly_weighs_is_left_out_of_the_evidence():
    """Evidence lists only what tells."""
    row = ENDED.ranking[0]._replace(weights=(Weight("sound", "even hum", 0.3), Weight("smell", "burnt", 5.5)))
    said = lines_of(ENDED._replace(ranking=(row,)), "Evidence for and against")
    assert said[1:3] == ["For cause 1: smell burnt: clearly for (+6).", "Against cause 1: nothing that was answered."]


def test_actions_stand_by_who_may_do_them_the_operator_first():
    """An action says whose it is, and the operator's come before maintenance's."""
    assert lines_of(ENDED, "What to do") == [
        "Yours to do: Tell the supervisor. Local procedure: bearing oil (OP-120).",
        "For maintenance: Test the jacket under pressure.",
    ]


def test_the_three_lines_for_the_radio_are_word_for_word():
    """What is read to the supervisor is shown as it came."""
    assert tuple(lines_of(ENDED, "Read this to your supervisor")) == ENDED.supervisor


@pytest.mark.parametrize("view", [ENDED, ASKING, NOTHING_YET], ids=["ended", "asking", "nothing yet"])
def test_order_of_authority_and_statement_end_every_ending(view):
    """Even where nothing is known the ending says who decides."""
    assert [text for _, text in blocks(view)[-1].lines][:2] == [AUTHORITY, STATEMENT]


def test_where_nothing_was_reported_no_cause_is_named():
    """How common causes are in general is no finding about this machine."""
    view = ENDED._replace(standing="no-symptom", answered=())
    assert not {"Likely causes", "Evidence for and against", "Read this to your supervisor"} & {
        b.title for b in blocks(view)
    }
    assert blocks(view)[0].title == "Cautions"


def test_headings_without_anything_under_them_are_left_out():
    """An ending of nothing shows no empty blocks."""
    assert {block.title for block in blocks(NOTHING_YET)} == {"How it stands", "Who decides"}


@pytest.mark.parametrize("columns", [40, 80, 120])
def test_screen_and_plain_lines_show_the_same_ending(columns):
    """The words of the ending are the same on the full screen and in plain lines, in the same order."""
    on_screen = " ".join(text_of(line) for line in ending_lines(ENDED, columns)).split()
    in_lines = " ".join(ending_text(ENDED)).split()
    assert [word.rstrip(":") for word in on_screen] == [word.rstrip(":") for word in in_lines]
