"""Checks of a start, as a planner writes them."""

from .samples import loaded, told

CHECK = "checks: {{seen: {{stage: pre-start, ask: {ask}, source: common practice{more}}}}}"


def lines(ask="bearing-oil-look", more=""):
    return told(CHECK.format(ask=ask, more=more))


def test_checks_keep_their_order_and_take_the_features_of_what_they_ask():
    """Two checks come in file order, and a check on bearing oil is only for machines with oiled bearings."""
    checks = loaded()[0].checks
    assert list(checks) == ["oil-clear-before-start", "exhaust-in-band"]
    assert checks["oil-clear-before-start"].needs == {"ring-oiled-bearings"}
    assert checks["oil-clear-before-start"].decides == "supervisor"
    assert checks["exhaust-in-band"].decides == "operator"


def test_a_check_of_something_that_has_no_question_is_a_fault():
    """A condition that rules conclude cannot be looked at by anybody."""
    assert "check-without-question" in lines("exhaust-level")[0]


def test_a_number_without_a_limit_is_a_fault():
    """A reading that no condition judges needs to be told what it must be."""
    assert "check-without-limit" in lines("bearing-temperature")[0]
    assert lines("bearing-temperature", ", holds: [{reading: bearing-temperature, at-least: 20 C}]") == []


def test_unknown_words_are_reported_with_the_nearest():
    """A stage, a caution and a key that do not exist are each named."""
    assert "unknown-word" in told("checks: {a: {stage: prestart, ask: sentinel, source: from memory}}")[0]
    assert "casing-pressure-high" in lines(more=", caution: casing-pressure")[0]
    assert "unknown-key" in lines(more=", who: operator")[0]


def test_a_check_falls_away_with_what_it_rests_on():
    """Switching off the finding, or a finding in its conditions, takes the check out without a complaint."""
    machine = {"machines/M.yaml": "machine: M\ndrives: {kind: fan}\nfeatures: []\n"}
    for off in ("bearing-oil-look", "check oil-clear-before-start"):
        site = {**machine, "site.yaml": "site: S", "rules/off.yaml": f"switch-off: [{off}]"}
        knowledge, problems = loaded(site=site)
        assert "oil-clear-before-start" not in knowledge.checks
        assert problems == ()
    off = {**machine, "site.yaml": "site: S", "rules/off.yaml": "switch-off: [sentinel]"}
    checks = loaded(CHECK.format(ask="exhaust-pressure", more=", holds: [{sentinel: quiet}]"), site=off)[0].checks
    assert "seen" not in checks
