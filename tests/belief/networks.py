"""Random small networks and histories for property tests."""

from itertools import combinations

from hypothesis import strategies as st

from diagnose.belief import Network, Table, firm, unsure, weighted

probability = st.floats(0.003, 0.985)


@st.composite
def networks(draw, most_causes=5, most_findings=4, most_values=4, *, not_listed=None, lifted=True):
    """Draw a network of single and many-valued findings, with or without error rates and a not-listed share."""
    causes = [f"c{i}" for i in range(draw(st.integers(1, most_causes)))]
    findings = {f"f{k}": draw(tables(causes, most_values)) for k in range(draw(st.integers(1, most_findings)))}
    share = draw(st.sampled_from([0.0, 0.05, 0.3])) if not_listed is None else not_listed
    pairs = [frozenset(pair) for pair in combinations(causes, 2)]
    related = draw(st.lists(st.sampled_from(pairs), unique=True, max_size=2)) if pairs and lifted else []
    lifts = {pair: draw(st.floats(1.0, 50.0)) for pair in related}
    return Network({c: draw(st.floats(0.001, 20.0)) for c in causes}, findings, share, lifts)


@st.composite
def tables(draw, causes, most_values):
    """Draw a table over some of the causes, each tied to some of the abnormal values."""
    values = ("normal", *(f"v{i}" for i in range(1, draw(st.integers(2, most_values)))))
    leak = {v: draw(st.floats(0.002, 0.3)) for v in values[1:]}
    pairs = draw(st.lists(st.tuples(st.sampled_from(causes), st.sampled_from(values[1:])), unique=True, max_size=8))
    return Table(values, leak, {pair: draw(probability) for pair in pairs}, draw(st.sampled_from([0.0, 0.02, 0.05])))


@st.composite
def likelihoods(draw, table):
    """Draw a firm, a doubtful or a weighted answer."""
    value = draw(st.sampled_from(table.values))
    match draw(st.sampled_from(["firm", "unsure", "weighted"])):
        case "firm":
            return firm(table, value)
        case "unsure":
            return unsure(table, value, draw(st.floats(0.6, 1.0)))
        case _:
            return weighted(table, {v: draw(st.floats(0.01, 1.0)) for v in table.values})


@st.composite
def situations(draw, **limits):
    """Draw a network, some answers to it, and some of its causes ruled out, but never the last hypothesis."""
    network = draw(networks(**limits))
    answers = {
        f: draw(likelihoods(network.findings[f]))
        for f in draw(st.lists(st.sampled_from(list(network.findings)), unique=True))
    }
    spared = len(network.causes) if network.not_listed else len(network.causes) - 1
    excluded = draw(st.lists(st.sampled_from(list(network.causes)), unique=True, max_size=min(2, spared)))
    return network, answers, excluded
