"""Networks for the tests of belief: the worked example, and random ones."""

import pytest

from diagnose.belief import Network, Table


@pytest.fixture
def worked():
    """Build the worked example: three causes, three findings, with a chosen share for not listed and error rate."""

    def build(not_listed=0.0, error=0.0):
        pi = {"A": 0.10, "B": 0.20, "C": 0.05}
        rows = {
            "S1": (0.05, {"A": 0.8, "B": 0.6}),
            "S2": (0.02, {"B": 0.3, "C": 0.9}),
            "S3": (0.10, {"A": 0.4, "C": 0.5}),
        }
        findings = {
            f: Table(("no", "yes"), {"yes": leak}, {(c, "yes"): p for c, p in links.items()}, error)
            for f, (leak, links) in rows.items()
        }
        return Network({c: p / (1 - p) for c, p in pi.items()}, findings, not_listed)

    return build
