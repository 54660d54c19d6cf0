"""New entries, written as YAML and put into a file."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.knowledge.nodes import read
from diagnose.planning.draft import KINDS, id_from, neighbours, written
from diagnose.planning.insertion import inserted
from tests.planning.page_base import laid
from tests.planning.samples import knowledge

BEFORE = "# ours\nfindings:\n  a:   # first\n    ask: A?\n\n# the rules\nrules:\n  - rule: r\n    caution: c\n"
EXAMPLES = {kind: {one.key: one.example for one in asks} for kind, asks in KINDS.items()}


def plain(text):
    problems = []
    tree = read(text, "f", problems)
    assert not problems, problems
    return tree.entries


def test_an_entry_goes_to_the_end_of_its_section():
    """Comments, order and all other lines stay; a remark at the margin stays with the section below it."""
    text = inserted(BEFORE, "findings", "  b:\n    ask: B?\n")
    assert text == BEFORE.replace("    ask: A?\n", "    ask: A?\n\n  b:\n    ask: B?\n")
    assert list(plain(text)["findings"].entries) == ["a", "b"]


def test_a_missing_section_is_begun_at_the_end():
    """Of an empty file it is the first line; line endings stay what they were."""
    assert inserted("", "rules", "  - rule: r\n") == "rules:\n  - rule: r\n"
    windows = BEFORE.replace("\n", "\r\n")
    text = inserted(windows, "causes", "  c:\n    title: C\n")
    assert text == windows + "\r\ncauses:\r\n  c:\r\n    title: C\r\n"


def test_an_entry_at_the_last_section_ends_the_file_with_one_line_end():
    """Nothing is glued to the last line."""
    assert inserted(BEFORE, "rules", "  - rule: s\n").endswith("    caution: c\n\n  - rule: s\n")


@pytest.mark.parametrize("kind", ["finding", "cause"])
def test_the_examples_of_the_questions_make_a_clean_entry(kind):
    """What the prompts give as examples can be typed as it stands."""
    answers = {key: said for key, said in EXAMPLES[kind].items() if key not in ("needs", "phases")}
    section = {"finding": "findings", "cause": "causes"}[kind]
    _, problems = laid(f"{section}:\n{written(kind, 'new-one', answers)}")
    assert problems == ()


def test_a_new_rule_is_a_draft():
    """It says so in its first line after the id."""
    text = written("rule", "r", {"symptom": "noise: knocking", "caution": "water-in-oil", "source": "common practice"})
    assert text.splitlines()[:2] == ["  - rule: r", "    status: draft"]
    assert laid("rules:\n" + text)[1] == ()


@given(st.text(st.characters(exclude_categories=("C", "Z")) | st.just(" "), min_size=1, max_size=80))
def test_whatever_is_typed_reads_back_as_it_was(said):
    """A title with colons, quotes, hashes or brackets in it comes back word for word."""
    wanted = " ".join(said.split())
    tree = plain("causes:\n" + written("cause", "c", {"title": said}))
    title = tree["causes"].entries["c"]
    assert (title.entries["title"].text if wanted else "") == wanted


def test_neighbours_are_those_that_sound_alike():
    """Words of a question find the finding that asks much the same; words of nothing find none."""
    known = knowledge()
    assert neighbours("finding", "What does the oil in the bearing look like", known)[0][0] == "oil-look"
    assert neighbours("cause", "jacket leaking", known)[0][0] == "jacket-leak"
    assert neighbours("finding", "zebra crossing", known) == []


def test_an_id_is_made_of_the_first_words():
    """Lower case, hyphens, and a number when it is taken."""
    assert id_from("What does the Bearing-oil look like?") == "what-does-the-bearing-oil-look"
    assert id_from("Leak", ["leak", "leak-2"]) == "leak-3"
    assert id_from("???") == "new"
