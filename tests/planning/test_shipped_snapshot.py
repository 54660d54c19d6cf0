"""The shipped rules do what was kept when somebody last looked and agreed."""

from diagnose.commands.rules_snapshot import kept_rows
from diagnose.knowledge.library import demo_site, load
from diagnose.planning.snapshot import changes, grouped, seen

MEND = "See what is different: diagnose rules snapshot. If that is what you want: diagnose rules snapshot --accept"


def test_every_shipped_rule_does_what_was_kept():
    """Cautions, conclusions, actions and shares in every kept row; and every rule has one."""
    knowledge = load(site=demo_site()).knowledge
    kept = kept_rows(demo_site() / "snapshot.csv")
    different = []
    for rows in grouped(kept):
        now = seen([(row.probe, list(row.seen.causes)) for row in rows], knowledge)
        pairs = zip(rows, now, strict=True)
        different += [(row.probe.rule, row.probe.why, *some) for row, one in pairs if (some := [*changes(row, one)])]
    assert different == [], MEND
    assert {row.probe.rule for row in kept} == set(knowledge.rules), MEND
