"""The layout of round sheets in a machine's profile."""

from .samples import MACHINE, SITE, loaded, told


def lines(rounds):
    machine = MACHINE[: MACHINE.index("rounds:")] + f"rounds: {rounds}\n"
    return told(site={**SITE, "machines/BFP-2.yaml": machine})


def test_a_layout_is_read_with_its_columns():
    """Headers lead to findings or to what they depend on, and the stretch of good history is two days."""
    rounds = loaded()[0].site.machines["BFP-2"].rounds
    assert rounds.columns == {"PI-20": "exhaust-pressure", "FI-1": "load"}
    assert rounds.baseline == ("2026-01-01", "2026-01-31")
    assert (rounds.clock, rounds.decimal, rounds.called) == ("day-first", "point", ("BFP 2",))


def test_a_column_of_an_unknown_finding_is_reported_with_the_nearest():
    """A header that leads nowhere is a fault that names the nearest finding."""
    (line,) = lines("{columns: {PI-20: exhaust-presure}}")
    assert "unknown-finding" in line
    assert "exhaust-pressure" in line


def test_a_stretch_must_be_two_days():
    """Days in words are refused with an example."""
    (line,) = lines("{baseline: last winter}")
    assert "2026-01-01 to 2026-02-28" in line


def test_a_clock_is_one_of_three():
    """A clock that is none of the three is a fault."""
    assert "unknown-word" in lines("{clock: backwards}")[0]
