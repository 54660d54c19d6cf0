"""An old consultation replays to the last bit, or what has changed is said exactly."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.consultation import events
from diagnose.consultation.events import event_from
from diagnose.consultation.session import Session
from diagnose.journal.replaying import held, replay, rule_changes
from diagnose.journal.revisions import keep_rules, kept_rules
from diagnose.knowledge import library
from diagnose.values.problem import DiagnoseError
from tests.journal.kept import TEXTS, at, consult, fresh
from tests.knowledge_samples import RULES, sample

OTHER_RULES = RULES.replace(
    "jacket-leak: almost always, gland-steam: usually", "jacket-leak: rarely, gland-steam: usually"
)


def _loaded(rules: str):
    loaded = library.load_kept({"rules": {"/sample.yaml": rules}, "site": TEXTS["site"]})
    assert not loaded.problems
    return loaded.knowledge


def test_under_the_same_rules_a_replay_is_the_same_to_the_last_bit(tmp_path):
    """Nothing is reported as changed, and every share equals the kept one exactly."""
    journal = fresh(tmp_path)
    session = consult(journal, "r", {"oil-look": "milky"}, {"oil-level": "rising"})
    again = replay(journal, held(journal, "r"), sample())
    assert again.exact
    assert again.compared
    assert again.changes == ()
    assert again.session.view() == session.view()


def test_kept_rule_texts_replay_after_the_rules_have_changed(tmp_path):
    """With the texts kept, today's different rules do not disturb the replay."""
    old, new = _loaded(RULES), _loaded(OTHER_RULES)
    journal = fresh(tmp_path)
    session = consult(journal, "r", {"oil-look": "milky"}, knowledge=old)
    keep_rules(journal, old.revision, at(0), lambda: TEXTS)
    again = replay(journal, held(journal, "r"), new)
    assert again.exact
    assert again.changes == ()
    assert again.session.ranking == session.ranking


def test_without_the_rule_texts_every_difference_is_named(tmp_path):
    """Replayed under other rules, the revision and each cause that moved are named with both shares."""
    old, new = _loaded(RULES), _loaded(OTHER_RULES)
    journal = fresh(tmp_path)
    consult(journal, "r", {"oil-look": "milky"}, knowledge=old)
    again = replay(journal, held(journal, "r"), new)
    assert not again.exact
    assert old.revision in again.changes[0]
    assert any(line.startswith("Cause jacket-leak then:") for line in again.changes)


def test_what_changed_between_two_revisions_is_listed_and_nothing_else():
    """One changed rule gives one line with the part that changed; equal rules give none."""
    old, new = _loaded(RULES), _loaded(OTHER_RULES)
    assert list(rule_changes(old, new)) == ["Rule milky-oil: links changed."]
    assert list(rule_changes(old, _loaded("# a remark\n" + RULES))) == []
    fewer = _loaded(RULES.replace("  - rule: lab-water", "  - rule: laboratory-water"))
    assert sorted(rule_changes(old, fewer)) == ["Rule lab-water: taken out.", "Rule laboratory-water: added."]


def test_rule_texts_are_kept_once_and_come_back_exactly(tmp_path):
    """The second keeping of a revision does not even ask for the texts; unknown revisions give none."""
    journal = fresh(tmp_path)
    keep_rules(journal, "abc", at(0), lambda: TEXTS)
    keep_rules(journal, "abc", at(1), lambda: pytest.fail("asked again"))
    assert kept_rules(journal, "abc") == TEXTS
    assert kept_rules(journal, "xyz") is None


def test_a_finding_that_is_gone_is_named(tmp_path):
    """When the rules no longer hold what was answered, the replay is refused with the name."""
    gone = RULES.replace("oil-look", "oil-sight")
    journal = fresh(tmp_path)
    consult(journal, "r", {"oil-look": "milky"})
    with pytest.raises(DiagnoseError, match="'oil-look' is no longer in the rules"):
        replay(journal, held(journal, "r"), _loaded(gone))


def test_an_event_of_an_unknown_kind_is_kept_and_named(tmp_path):
    """An event from a later version is not dropped in silence: the replay says which one it cannot read."""
    journal = fresh(tmp_path)
    consult(journal, "r", {"oil-look": "milky"})
    journal.append("r", "consultation", at(99), "P-1", "", {"kind": "Dreamt"})
    with pytest.raises(DiagnoseError, match="of a kind this version does not know"):
        held(journal, "r")


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["answer", "back", "skip", "tell", "withdraw", "phase"]), st.integers(0, 5))))
def test_a_consultation_taken_up_again_stands_where_it_stood(steps):
    """After any steps, folding the kept events alone gives the same open question and, to the last bit, the same view."""
    kept = []
    session = Session(sample(), sample().site.machines["P-1"], keep=lambda one: kept.append(events.event_record(one)))
    session.do(events.Report("oil-look", events.Answer(value="milky")))
    for what, number in steps:
        _step(session, what, number)
    again = Session(sample(), session.machine, happened=[event_from(one) for one in kept])
    assert again.open_question == session.open_question
    assert again.view() == session.view()


def _step(session: Session, what: str, number: int) -> None:
    question = session.view().question
    said = list(session.state.said)
    if what == "answer" and question:
        choice = question.choices[number % len(question.choices)]
        session.do(events.Report(question.finding, events.Answer(value=choice.value, sure=number < 4)))
    elif what == "tell" and question:
        session.do(events.CannotTell(question.finding))
    elif what == "skip" and question:
        session.do(events.Skip(question.finding))
    elif what == "withdraw" and len(said) > 1:
        session.do(events.TakeBack(said[number % len(said)]))
    elif what == "phase":
        session.do(events.SetPhase(["loaded", "run-up"][number % 2]))
    elif what == "back":
        session.do(events.Back())
