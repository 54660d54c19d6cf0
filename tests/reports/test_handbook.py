"""The handbook of the whole rule base as a browser shows it."""

from diagnose.knowledge.library import demo_site, load
from diagnose.reports.handbook import handbook
from tests.planning.samples import knowledge

from . import browser


def test_the_handbook_has_no_fault_of_accessibility(tmp_path):
    """The checker finds nothing by WCAG 2 A and AA."""
    assert browser.accessibility(tmp_path, handbook(knowledge(), "Trouble handbook")) == []


def test_a_narrow_window_does_not_scroll_the_page_sideways(tmp_path):
    """Tables and maps scroll by themselves; the page stays within the window."""
    told = browser.measured(tmp_path, handbook(knowledge(), "Trouble handbook"), 500)
    assert told["page"] <= told["window"]


def test_every_cause_of_the_shipped_rules_stands_in_the_handbook():
    """Each has its place to be led to, and so has each rule that ties causes to a symptom."""
    shipped = load(site=demo_site()).knowledge
    page = handbook(shipped, "Trouble handbook")
    assert [name for name in shipped.causes if f'id="cause-{name}"' not in page] == []
    tied = [rule.id for rule in shipped.rules.values() if rule.symptom and rule.links]
    assert [name for name in tied if f'id="rule-{name}"' not in page] == []


def test_rules_for_different_machines_say_for_which():
    """A rule that needs a feature shows its title beside the symptom."""
    example = """
rules:
  - rule: knocks-by-gland
    needs: [sentinel-valve]
    symptom: {noise: knocking}
    causes: {gland-steam: usually}
    source: common practice
"""
    assert "with: Sentinel valve" in handbook(knowledge(example), "Trouble handbook")
