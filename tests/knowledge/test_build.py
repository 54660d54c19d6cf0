"""The whole flow from texts to knowledge."""

from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.knowledge.build import answers_from, cases_from
from diagnose.knowledge.library import load_texts

from .samples import MACHINE, RULES, SITE, loaded
from .test_cases import CASE


def test_the_sample_is_clean_under_both_parsers(pure):
    """Nothing is wrong with it, and both parsers give the same knowledge."""
    knowledge, problems = loaded(pure=pure)
    assert problems == ()
    assert knowledge == loaded()[0]


def test_problems_come_sorted_by_place_from_all_files(pure):
    """Faults in three files and in a machine are all told at once, in order."""
    site = {**SITE, "machines/BFP-2.yaml": MACHINE.replace("class: D", "class: X")}
    _, problems = loaded("cautions: {a: {}}", "causes: {b: {}}", "a: [", site=site, pure=pure)
    assert [p.place.file for p in problems] == sorted(p.place.file for p in problems)
    assert {p.place.file for p in problems} == {
        "machines/BFP-2.yaml",
        "rules/x0.yaml",
        "rules/x1.yaml",
        "rules/x2.yaml",
    }


def test_the_revision_changes_with_every_byte_and_every_name():
    """The same files give the same revision, another remark another."""
    one, _ = load_texts({"a.yaml": RULES})
    assert load_texts({"a.yaml": RULES})[0].revision == one.revision
    assert load_texts({"a.yaml": RULES + "#"})[0].revision != one.revision
    assert load_texts({"b.yaml": RULES})[0].revision != one.revision
    assert load_texts({"a.yaml": RULES}, SITE)[0].revision != one.revision


def test_knowledge_cannot_be_changed():
    """Its tables are read-only views."""
    knowledge, _ = loaded()
    for table in (knowledge.causes, knowledge.findings["sentinel"].values, knowledge.site.machines["BFP-2"].values):
        assert not hasattr(table, "__setitem__")


def test_answers_are_read_without_checking_names():
    """An answers file gives what stands in it; a fault has its place."""
    answers, problems = answers_from("machine: BFP-2\nreported: {oil: milky}\nothers: {P-1: {oil: clear}}\n", "a.yaml")
    assert not problems
    assert answers == {"machine": "BFP-2", "reported": {"oil": "milky"}, "others": {"P-1": {"oil": "clear"}}}
    _, problems = answers_from("phase: running\n", "a.yaml")
    assert problems[0].line().startswith("a.yaml:1:8 unknown-word")


PIECES = st.sampled_from(
    [line + "\n" for line in RULES.splitlines()]
    + ["rules:\n", "causes:\n", "  - {machine: $a}\n", "  x: [", "}\n", "  values: {a: normal}\n", "  when: {not: {not: {}}}\n", "switch-off: [milky-oil]\n", "\t\n", "scales: {frequency: {}}\n"]
)  # fmt: skip
BROKEN = st.one_of(st.text(max_size=60), st.lists(PIECES, max_size=25).map("".join))


@settings(max_examples=250, deadline=None)
@given(BROKEN, BROKEN, BROKEN, st.booleans())
def test_no_text_raises_anything(rules, machine, site_rules, pure):
    """Rules, machine and site rules of any text give knowledge and problems, each one printable line with a place."""
    site = {"site.yaml": machine, "machines/m.yaml": machine, "rules/r.yaml": site_rules}
    knowledge, problems = load_texts({"rules/a.yaml": RULES, "rules/b.yaml": rules}, site, pure=pure)
    assert knowledge.findings is not None
    assert all(p.line().isprintable() and p.place.line >= 1 and p.place.column >= 1 for p in problems)
    assert list(problems) == sorted(problems)


CUT = st.tuples(st.integers(0, len(RULES)), st.integers(0, 200), st.text(alphabet="ab: -[]{},#'\"\n", max_size=6))


@settings(max_examples=200, deadline=None)
@given(CUT)
def test_no_edit_of_good_rules_raises_anything(cut):
    """A piece taken out of the sample, or put into it, is read or reported."""
    start, length, put = cut
    _, problems = load_texts({"rules/a.yaml": RULES[:start] + put + RULES[start + length :]}, SITE)
    assert all(p.line().isprintable() for p in problems)


@settings(max_examples=150, deadline=None)
@given(st.tuples(st.integers(0, len(CASE)), st.integers(0, 60), st.text(alphabet="ab: -[]{},#\n", max_size=6)))
def test_no_edit_of_a_good_case_raises_anything(cut):
    """A piece taken out of a case, or put into it, is read or reported."""
    start, length, put = cut
    _, problems = cases_from({"c.yaml": CASE[:start] + put + CASE[start + length :]}, loaded()[0])
    assert all(p.line().isprintable() for p in problems)
