"""YAML as text with places: what is read, what is refused, under both parsers."""

import textwrap

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.knowledge.nodes import Listing, Mapping, Text, read
from diagnose.values.problem import Place


def tree(text, pure):
    problems = []
    return read(textwrap.dedent(text), "f.yaml", problems, pure=pure), problems


def plain(node):
    if isinstance(node, Text):
        return node.text
    if isinstance(node, Listing):
        return [plain(item) for item in node.items]
    return node and {key: plain(inner) for key, inner in node.entries.items()}


def test_every_scalar_stays_the_words_the_planner_wrote(pure):
    """Yes, off, 1:30, 012, null, dates and an empty value are text."""
    node, problems = tree("{yes: abnormal, no: off, a: 1:30, b: 012, c: ~, d: null, e: 2024-01-02, f: 1e3, g: }", pure)
    assert not problems
    assert plain(node) == {
        "yes": "abnormal", "no": "off", "a": "1:30", "b": "012", "c": "~", "d": "null", "e": "2024-01-02", "f": "1e3", "g": ""
    }  # fmt: skip


def test_every_node_knows_its_place(pure):
    """Lines and columns count from one, for keys, values and lists."""
    node, _ = tree("a: b\nlist:\n  - {x: y}\n", pure)
    assert node.keys["list"] == Place("f.yaml", 2, 1)
    assert node.entries["a"].place == Place("f.yaml", 1, 4)
    assert node.entries["list"].items[0].entries["x"].place == Place("f.yaml", 3, 9)


def test_joins_are_read_with_a_dollar(pure):
    """A variable in braces is plain text."""
    node, problems = tree("- {machine: $a, other-than: $b}", pure)
    assert not problems
    assert plain(node) == [{"machine": "$a", "other-than": "$b"}]


def test_a_byte_order_mark_and_foreign_line_ends_are_read(pure):
    """What some editors leave in a file does no harm and moves no place."""
    node, problems = tree("\ufeffa: b\r\nc: d\r\n", pure)
    assert not problems
    assert node.keys["c"] == Place("f.yaml", 2, 1)


def test_an_empty_file_is_an_empty_mapping(pure):
    """Remarks alone hold nothing, and that is no fault."""
    assert tree("# nothing yet\n", pure) == (Mapping({}, {}, Place("f.yaml", 1, 1)), [])


REFUSED = [
    ("duplicate key", "a: b\nc: d\na: e\n", (3, 1, "duplicate-key"), "first is on line 1"),
    ("duplicate key in braces", "x: {a: b, a: c}\n", (1, 11, "duplicate-key"), "Delete one"),
    ("anchor", "a: &name b\n", (1, 4, "anchor"), "quotes"),
    ("alias", "a: b\nc: *name\n", (2, 4, "alias"), "Write it out"),
    ("tag", "a: !!python/object/apply:os.system [ls]\n", (1, 4, "tag"), "everything is text"),
    ("own tag", "a: !secret b\n", (1, 4, "tag"), "everything is text"),
    ("merge key", "a:\n  <<: {x: y}\n", (2, 3, "merge-key"), "Write it out"),
    ("several documents", "a: b\n---\nc: d\n", (2, 1, "several-documents"), "Delete"),
    ("directive", "%YAML 1.1\n---\na: b\n", (1, 1, "directive"), "Delete"),
    ("tab", "a:\n\tb: c\n", (2, 1, "tab"), "Use spaces"),
    ("tab after a value", "a: b\t# remark\n", (1, 5, "tab"), "Use spaces"),
    ("escape sequence", "a: \x1b[31mred\n", (1, 4, "control-character"), r"\x1b"),
    ("escape in quotes", 'a: "\\e[31mred"\n', (1, 4, "control-character"), r"\x1b"),
    ("reordering character", "a: b\u202ec\n", (1, 5, "control-character"), r"\u202e"),
    ("null character", "a: b\x00c\n", (1, 5, "control-character"), "Delete it"),
    ("half a character", "a: b\ud800\n", (1, 5, "control-character"), r"\ud800"),
    ("strange line end", "a: b\u2028c: d\n", (1, 5, "control-character"), r"\u2028"),
    ("list as key", "[a, b]: c\n", (1, 1, "key-not-a-word"), "word before the colon"),
    ("empty key", 'a: {"": c}\n', (1, 5, "key-not-a-word"), "word before the colon"),
    ("not closed", "a: [b, c\n", (1, 9, "not-yaml"), "close it with ']'"),
    ("too deep", "[" * 40 + "]" * 40, (1, 25, "too-deep"), "Split it"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "fault", "says"), [row[1:] for row in REFUSED], ids=[row[0] for row in REFUSED])
def test_what_is_refused_has_a_place_and_a_mend(text, fault, says, pure):
    """One problem, at the very character, with what to do about it."""
    _, problems = tree(text, pure)
    assert [(p.place.line, p.place.column, p.code) for p in problems] == [fault]
    assert says in problems[0].line()


def test_reading_goes_on_after_a_fault(pure):
    """A repeated key, a tab and an anchor in one file are all told, and the rest is read."""
    node, problems = tree("a: &x b\nc: d\nc: e\nf: g\t\nh: i\n", pure)
    assert [p.code for p in problems] == ["tab", "anchor", "duplicate-key"]
    assert plain(node) == {"a": "b", "c": "d", "f": "g", "h": "i"}


def test_a_bomb_of_aliases_is_refused_without_being_opened(pure):
    """Ten to the ninth repetitions cost no more than the text itself."""
    bomb = "a: &a [x, x]\n" + "".join(
        f"{b}: &{b} [*{a}, *{a}, *{a}, *{a}, *{a}, *{a}, *{a}, *{a}, *{a}]\n"
        for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    _, problems = tree(bomb, pure)
    assert {p.code for p in problems} == {"anchor", "alias"}
    assert len(problems) == 9 + 8 * 9


def test_ten_thousand_brackets_are_refused_at_once(pure):
    """Nesting without end is given up at its 25th step, or by the parser in C at a thousand when it looks ahead."""
    _, problems = tree("[" * 10_000, pure)
    assert [p.code for p in problems] == ["too-deep" if pure else "not-yaml"]


def test_a_file_over_five_megabytes_is_not_parsed(pure):
    """Size is looked at first."""
    node, problems = tree("a: " + "b" * 5_000_000, pure)
    assert node is None
    assert [p.code for p in problems] == ["too-large"]


def test_a_hash_that_cuts_a_plain_text_is_noticed(pure):
    """Only where a blank and a # end an unquoted scalar; not in quotes, not after brackets, not without a blank."""
    node, _ = tree("a: gauge #3\nb: 'gauge #3'\nc: [x]  # remark\nd: gauge#3\ne: f\n", pure)
    assert [getattr(inner, "cut", False) for inner in node.entries.values()] == [True, False, False, False, False]


def test_a_cut_is_noticed_at_the_end_of_several_lines(pure):
    """A text over two lines is cut on its second."""
    node, _ = tree("a: read\n  gauge #3\nb: c\n", pure)
    assert node.entries["a"] == Text("read gauge", Place("f.yaml", 1, 4), cut=True)


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.text(), st.text(alphabet="ab:- {}[],#&*!|>'\"%@`?\n\t\\x1e~<\x1b\ud800")), st.booleans())
def test_any_text_gives_nodes_or_problems(text, pure):
    """Nothing else is ever raised, a text that cannot be read has a problem, and every problem is one printable line."""
    problems = []
    node = read(text, "f.yaml", problems, pure=pure)
    assert node is not None or problems
    assert all(p.line().isprintable() for p in problems)


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet="ab:- {}[],#'\"\n", max_size=40))
def test_both_parsers_read_the_same(text):
    """What one parser reads without a fault, the other reads as the same nodes."""
    fast, slow = [], []
    one, other = read(text, "f", fast, pure=False), read(text, "f", slow, pure=True)
    if not fast and not slow:
        assert one == other
