"""Review of rules: who, when and why; drafts and retired rules."""

from diagnose.knowledge.drafts import DRAFT_SAYS
from diagnose.knowledge.model import Review

from .samples import loaded

SEEN = "symptom: {bearing-oil-look: dark}, source: from memory"
DRAFT = f"rules: [{{rule: r, {SEEN}, caution: casing-pressure-high, status: draft}}]"


def test_a_review_is_kept_with_its_rule():
    """Author, day, reason and reviewer stand in the model as they were written; a rule without them has none."""
    text = f"rules: [{{rule: r, {SEEN}, caution: casing-pressure-high, author: A, date: 2024-05-02, reason: Found so, reviewer: B}}]"
    knowledge, problems = loaded(text)
    assert not problems
    assert knowledge.rules["r"].review == Review("A", "2024-05-02", "Found so", "B")
    assert knowledge.rules["valve-sounds"].review is None


def test_a_draft_rule_raises_a_caution_that_says_so():
    """The caution of a draft has the same rank and advice, and begins with the word that it is a draft."""
    knowledge, problems = loaded(DRAFT)
    assert not problems
    (name,) = knowledge.rules["r"].cautions
    made, plain = knowledge.cautions[name], knowledge.cautions["casing-pressure-high"]
    assert made.say == DRAFT_SAYS + plain.say
    assert (made.rank, made.do, made.procedure) == (plain.rank, plain.do, plain.procedure)


def test_a_reviewed_rule_keeps_its_caution_beside_a_draft():
    """A draft changes nothing of what the other rules say."""
    knowledge, _ = loaded(DRAFT)
    assert knowledge.rules["valve-sounds"].cautions == ("casing-pressure-high",)
    assert not knowledge.cautions["casing-pressure-high"].say.startswith(DRAFT_SAYS)


def test_a_retired_rule_is_out_of_force_and_can_be_looked_up():
    """It is not among the rules; its place stands among what is switched off; what it named stays known."""
    knowledge, problems = loaded(DRAFT.replace("draft", "retired"))
    assert not problems
    assert "r" not in knowledge.rules
    assert knowledge.switched_off["rule r"].line == 1
    assert "bearing-oil-look" in knowledge.findings


def test_registered_sources_keep_their_place():
    """The place of a short name is where it is registered."""
    knowledge, _ = loaded()
    assert knowledge.source_places["notice-2001-19"].file == "rules/sample.yaml"
