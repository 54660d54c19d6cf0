"""What each rule does by itself: which situations are looked at, what is kept, and what is noticed."""

from types import MappingProxyType

import pytest

from diagnose.knowledge.library import demo_site, load
from diagnose.knowledge.model import Compare, Limit, Unknown
from diagnose.planning.coverage import rows_for
from diagnose.planning.equivalent import why_equivalent
from diagnose.planning.mutation import Mutant, mutants, with_rule
from diagnose.planning.probes import HOLDS, NOT_SEEN, Probe, machine_called, probes
from diagnose.planning.satisfying import answers
from diagnose.planning.snapshot import Ready, Seen, changes, grouped, seen
from diagnose.planning.snapshot_file import as_csv, from_csv
from diagnose.planning.snapshot_rows import chosen
from diagnose.planning.what_if import shares_with
from diagnose.reasoning.grading import holds
from diagnose.values.quantity import Quantity
from tests.planning.samples import knowledge

GATES = """
rules:
  - rule: knocks-and-low
    phases: [loaded]
    needs: [sentinel-valve]
    when:
      - {oil-level: low}
      - any-of: [{sentinel: sounding}, {reading: bare-reading, above: 5 bar gauge}]
    symptom: {noise: knocking}
    causes: {gland-steam: usually}
    caution: casing-pressure
    source: common practice
"""
KNOWN = knowledge(GATES)
ROWS = [row for rows in chosen(list(KNOWN.rules.values()), KNOWN) for row in rows]


def of(rule):
    """Give the kept rows of a rule by what they are about."""
    return {row.probe.why: row for row in ROWS if row.probe.rule == rule}


def test_every_rule_that_can_hold_has_a_row_in_which_it_holds():
    """The laboratory's and the operator's findings alike."""
    assert {row.probe.rule for row in ROWS if row.probe.why == HOLDS} == set(KNOWN.rules)


def test_a_rule_is_looked_at_just_short_of_holding():
    """Each condition alone missing, each alternative alone, another phase, the feature missing: the caution is not there."""
    rows = of("knocks-and-low")
    short = {"without condition 1", "without condition 2", "in another phase", "without sentinel-valve"}
    assert rows.keys() == short | {HOLDS, NOT_SEEN, "by condition 2, alternative 1", "by condition 2, alternative 2"}
    raised = {why for why, row in rows.items() if "casing-pressure" in row.seen.cautions}
    assert raised == rows.keys() - short - {NOT_SEEN}


def test_what_is_kept_is_read_back_as_it_was_written():
    """Out and back, every row; shares to three figures."""
    back = from_csv(as_csv(ROWS))
    assert [row.probe for row in back] == [row.probe for row in ROWS]
    for row, was in zip(back, ROWS, strict=True):
        assert row.seen._replace(causes=was.seen.causes) == was.seen
        assert dict(row.seen.causes) == pytest.approx(dict(was.seen.causes), rel=0.005)


def test_nothing_is_different_as_long_as_nothing_changed():
    """Every kept row is seen again, from the file, group by group."""
    for rows in grouped(from_csv(as_csv(ROWS))):
        now = seen([(row.probe, list(row.seen.causes)) for row in rows], KNOWN)
        assert [list(changes(row, one)) for row, one in zip(rows, now, strict=True)] == [[]] * len(rows)


def test_every_mutant_that_can_be_seen_is_noticed_by_a_kept_row():
    """On the small base no wrong goes by: the rows are there to notice changes."""
    for mutant in mutants(KNOWN):
        rows = rows_for(mutant, ROWS, most=20)
        now = seen([(row.probe, list(row.seen.causes)) for row in rows], with_rule(KNOWN, mutant.changed))
        different = [line for row, one in zip(rows, now, strict=True) for line in changes(row, one)]
        assert different or why_equivalent(mutant, KNOWN), mutant


def test_what_is_different_is_said_in_words():
    """Cautions, conditions and actions lost and new; shares that moved; a machine that is gone."""
    row = of("milky-oil")[HOLDS]
    causes = {**row.seen.causes, "jacket-leak": 0.123}
    now = Seen((), ("exhaust-level=high",), row.seen.actions, causes)
    lines = list(changes(row, now))
    assert "caution water-in-oil lost" in lines
    assert "condition exhaust-level=high new" in lines
    assert any(line.startswith("jacket-leak ") and line.endswith("% then 12.3%") for line in lines)
    gone = row._replace(probe=row.probe._replace(machine="P-9"))
    assert list(seen([(gone.probe, [])], KNOWN)) == [None]
    assert "gone" in next(changes(gone, None))


def test_a_file_that_is_no_snapshot_is_refused_with_its_line():
    """A word where a share should be."""
    with pytest.raises(ValueError, match="line 2"):
        from_csv(as_csv([of("milky-oil")[HOLDS]]).replace("%", "x"))


def test_shares_under_other_links_are_those_of_a_situation_made_anew():
    """The short way gives what the long way gives, to the last bit, for links of the shipped rules."""
    shipped = load(site=demo_site()).knowledge
    about = [one for one in mutants(shipped) if one.kind.startswith("link")][:: 9000 // 6]
    ready = Ready(shipped)
    for mutant in about:
        probe = next(one for one in probes(shipped.rules[mutant.rule], shipped) if one.why == HOLDS)
        changed = with_rule(shipped, mutant.changed)
        tables = ready.tables[probe.machine, probe.phase]
        shares = shares_with(ready.of(probe), mutant.changed, changed, tables)
        (anew,) = seen([(probe, list(shares))], changed)
        assert dict(anew.causes) == dict(shares)


def test_machines_are_called_with_and_without_a_feature_or_a_limit():
    """The variants that the site does not have."""
    with_it, without = machine_called("P-1 with x", KNOWN), machine_called("P-1 without sentinel-valve", KNOWN)
    assert "x" in with_it.features
    assert "sentinel-valve" not in without.features
    machine = KNOWN.site.machines["P-1"]
    limited = machine._replace(values=MappingProxyType({"a-max": Quantity(1.0, "K"), "b-max": Quantity(2.0, "K")}))
    site = KNOWN.site._replace(machines={"P-1": limited})
    assert dict(machine_called("P-1 without a-max", KNOWN._replace(site=site)).values) == {"b-max": Quantity(2.0, "K")}
    assert machine_called("P-9", KNOWN) is None


@pytest.mark.parametrize("wanted", [True, False])
def test_answers_make_conditions_hold_or_not(wanted):
    """For every condition of the small base, each way found is as wanted by the program's own judgement."""
    machine = KNOWN.site.machines["P-1"]
    bar = Compare("bare-reading", "above", Limit(Quantity(5.0, "bar gauge"), ""))
    for condition in (*(one for rule in KNOWN.rules.values() for one in rule.when), bar, Unknown("noise")):
        ways = list(answers([(condition, wanted)], machine, KNOWN.findings, {}))
        assert ways
        for way in ways:
            known = {name: frozenset([value]) for name, value in way.items() if value is not None}
            assert holds(condition, machine, lambda name, known=known: known.get(name, frozenset())) == wanted


def test_a_caution_that_another_rule_raises_too_is_no_loss():
    """Dropping it from the narrower rule changes nothing; from the wider one it does."""
    twice = knowledge("""
rules:
  - {rule: low, when: [{oil-level: low}], caution: water-in-oil, source: common practice}
  - {rule: low-and-loud, when: [{oil-level: low}, {noise: knocking}], caution: water-in-oil, source: common practice}
""")
    dropped = {one.rule: one for one in mutants(twice) if one.kind == "caution dropped"}
    assert "'low'" in why_equivalent(dropped["low-and-loud"], twice)
    assert why_equivalent(dropped["low"], twice) == ""


def test_rows_about_the_gate_come_first_for_a_mutant_of_a_gate():
    """And for a link those in which its cause has the greatest share."""
    rule = KNOWN.rules["knocks-and-low"]
    gate = Mutant("gate dropped", rule.id, "phases", 2, rule)
    assert rows_for(gate, ROWS)[0].probe.why == "in another phase"
    assert isinstance(rows_for(gate, ROWS)[0].probe, Probe)
