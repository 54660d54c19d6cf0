"""What people type for an answer."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.consultation.understand import understand
from diagnose.values.problem import DiagnoseError
from tests.knowledge_samples import sample

FINDINGS = sample().findings
GAUGE, LEVEL = FINDINGS["exhaust-pressure"], FINDINGS["exhaust-level"]


@pytest.mark.parametrize(
    ("typed", "value", "sure"),
    [
        ("2", "milky", True),
        ("milky", "milky", True),
        ("Milky.", "milky", True),
        ("milkey", "milky", True),
        ("milk", "milky", True),
        ("not sure milky", "milky", False),
        ("milky, I think", "milky", False),
        ("maybe foamy", "foamy", False),
    ],
)
def test_a_value_is_known_by_number_words_or_nearly(typed, value, sure):
    """Number, word, part of a word, a slip of the pen and a hedge all lead to the value."""
    answer, _ = understand(typed, FINDINGS["oil-look"])
    assert (answer.value, answer.sure) == (value, sure)


@pytest.mark.parametrize("typed", ["can't tell", "dont know", "U", "?", "no idea", "Don't know."])
def test_not_knowing_can_be_said_in_many_ways(typed):
    """Each of the usual ways says that it cannot be told."""
    assert understand(typed, FINDINGS["oil-look"])[0].cannot_tell


@pytest.mark.parametrize(
    ("typed", "bar"),
    [
        ("2.9", 2.9),
        ("2,9 bar", 2.9),
        ("42 psig", 2.896),
        ("0.29 MPa", 2.9),
        ("56.76 psia", 2.9),
        ("not sure 2.9 barg", 2.9),
    ],
)
def test_a_number_is_read_with_its_unit(typed, bar):
    """Gauge, absolute, psi and MPa come to the same gauge pressure in bar."""
    answer, _ = understand(typed, GAUGE, LEVEL)
    assert answer.number == pytest.approx(bar, abs=0.002)


def test_a_bare_number_is_the_reading_never_a_choice():
    """On a question with a gauge, 2 means two bar and not the second word."""
    answer, note = understand("2", GAUGE, LEVEL)
    assert (answer.number, answer.value) == (2.0, "")
    assert "bar gauge" in note


def test_a_word_does_for_a_number():
    """High is taken where a pressure is asked."""
    assert understand("high", GAUGE, LEVEL)[0].value == "high"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("purple", "say one of: clear, milky, foamy"),
        ("4", "say one of: clear, milky, foamy"),
        ("", "say one of"),
    ],
)
def test_what_fits_nothing_is_refused_with_the_choices(typed, said):
    """A refusal names every answer that would do."""
    with pytest.raises(DiagnoseError, match=said):
        understand(typed, FINDINGS["oil-look"])


@pytest.mark.parametrize(
    ("typed", "said"),
    [("180F", "unit of temperature"), ("38", "Did you mean psi"), ("purple", "a number such as in bar gauge")],
)
def test_a_wrong_number_says_what_is_wrong(typed, said):
    """A temperature, an impossible pressure and a word that is none each get their own mend."""
    with pytest.raises(DiagnoseError, match=said):
        understand(typed, GAUGE, LEVEL)


@given(st.text(max_size=60))
def test_anything_typed_is_an_answer_or_one_clear_line(typed):
    """No text raises anything but our own complaint."""
    for finding, words in ((FINDINGS["oil-look"], None), (GAUGE, LEVEL)):
        try:
            answer, _ = understand(typed, finding, words)
        except DiagnoseError:
            continue
        else:
            assert answer.cannot_tell or answer.value or answer.number is not None


def test_a_bare_number_is_in_the_unit_the_site_reads():
    """Where a plant reads psi, 42 off the gauge means 42 psi, and the note says so."""
    answer, note = understand("42", GAUGE, LEVEL, "psi gauge")
    assert answer.number == pytest.approx(2.896, abs=0.002)
    assert note == "No unit typed: taken as psi gauge."


def test_a_unit_typed_goes_before_the_sites_own():
    """Who types bar where the plant reads psi is taken at his word."""
    assert understand("2.9 bar", GAUGE, LEVEL, "psi gauge")[0].number == pytest.approx(2.9)
