"""The words of the rules as a table, out and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.planning.tables import as_csv, edits, from_csv, rows, with_edits
from diagnose.planning.workbook import as_workbook, from_workbook
from tests.planning.page_base import RULES
from tests.planning.samples import knowledge

KNOWN = knowledge()
CELLS = list(rows(KNOWN))


def changed(cause, word, kind="link"):
    return [one._replace(word=word) if (one.kind, one.cause) == (kind, cause) else one for one in CELLS]


def test_the_table_comes_back_as_it_went():
    """CSV and spreadsheet give the same rows again, and nothing to change."""
    assert from_csv(as_csv(CELLS)) == (CELLS, [])
    assert from_workbook(as_workbook(CELLS, KNOWN.scales)) == (CELLS, [])
    assert edits(CELLS, KNOWN) == ([], [])


def test_a_semicolon_table_with_columns_of_ones_own_is_read():
    """What a spreadsheet in another country writes, with a remark column in front, is the same table."""
    lines = ["remark;kind;rule;symptom;cause;was;word", *(";".join(["mine", *one]) for one in CELLS)]
    assert from_csv("\ufeff" + "\n".join(lines)) == (CELLS, [])


@pytest.mark.parametrize(("cause", "kind", "old", "new"), [
    ("jacket-leak", "link", "jacket-leak: usually", "jacket-leak: sometimes"),
    ("gland-steam", "how-common", "Gland steam blows into the housing\n    how-common: seldom", "Gland steam blows into the housing\n    how-common: sometimes"),
])  # fmt: skip
def test_a_changed_word_changes_that_word_of_the_text_alone(cause, kind, old, new):
    """Every other character stays."""
    found, conflicts = edits(changed(cause, "sometimes", kind), KNOWN)
    assert conflicts == []
    assert with_edits(RULES, found) == (RULES.replace(old, new), [])


def test_a_word_in_braces_with_its_own_source_is_changed():
    """``{seen: word, source: ...}`` keeps its source."""
    text = "rules:\n  - rule: r\n    symptom: {noise: knocking}\n    causes:\n      jacket-leak: {seen: usually, source: from memory}\n    source: x\n"
    found = [
        one._replace(place=one.place._replace(line=5, column=7))
        for one in edits(changed("jacket-leak", "rarely"), KNOWN)[0]
    ]
    assert with_edits(text, found)[0] == text.replace("usually", "rarely")


@pytest.mark.parametrize(("cell", "says"), [
    ({"word": "usualy"}, "row 2, column word: 'usualy' is no word of the scale. Did you mean 'usually'?"),
    ({"cause": "jacket-leek"}, "row 2, column cause: the rules hold no link of"),
    ({"rule": "milky"}, "row 2, column rule: the rules hold no link of"),
    ({"kind": "links"}, "row 2, column kind: 'links' is none of"),
    ({"was": "rarely", "word": "sometimes"}, "row 2, column word: 'sometimes' here, 'usually' in the rules, 'rarely' when"),
    ({"was": "rarely", "word": "rarely"}, "row 2, column was: the rules have changed to 'usually'"),
])  # fmt: skip
def test_a_conflict_names_its_cell(cell, says):
    """Row and column as the spreadsheet shows them, and what is wrong there."""
    found, conflicts = edits([CELLS[0]._replace(**cell), *CELLS[1:]], KNOWN)
    assert found == []
    assert conflicts[0].startswith(says)


def test_a_row_written_twice_is_a_conflict():
    """The second row about the same link is named."""
    assert edits([*CELLS, CELLS[0]], KNOWN)[1] == [
        f"row {len(CELLS) + 2}, column rule: a row above is about the same link"
    ]


def test_a_missing_column_is_told():
    """The heading decides; without it nothing is read."""
    assert from_csv("kind,rule,symptom,cause,was\n")[1] == ["row 1: the column 'word' is missing"]


def test_an_unwritten_otherwise_cannot_be_changed_from_a_table():
    """A rule that leaves 'otherwise' out has no word to change: that is told, not guessed."""
    cells = [one._replace(word="rarely") if one.kind == "otherwise" else one for one in CELLS]
    found, _ = edits(cells, KNOWN)
    text, lost = with_edits(RULES, found)
    assert text == RULES
    assert len(lost) == len(found) > 0


@given(st.text(max_size=300))
def test_any_text_is_read_without_a_crash(text):
    """Rows or complaints, never an exception."""
    cells, faults = from_csv(text)
    changes, conflicts = edits(cells, KNOWN)
    assert len(changes) + len(conflicts) <= len(cells)
    assert not (faults and cells)
