"""Knowledge as JSON and back."""

import json
import typing

from hypothesis import given
from hypothesis import strategies as st

from diagnose.knowledge import model
from diagnose.knowledge.compiled import decode, encode, fingerprint

from .samples import CAUSE, RULES, SITE, loaded


def knowledge():
    site = {
        **SITE,
        "rules/own.yaml": f"causes: {{cooling-jacket-leak: {{{CAUSE}}}}}\nswitch-off: [sentinel-maladjusted]\n",
    }
    extra = "rules: [{rule: r, source: from memory, status: draft, author: planner, date: 2024-05-02, conclude: {exhaust-level: low}, when: [{all-of: [{reading: bearing-temperature, below: 20 C}]}]}]"
    return loaded(extra, site=site)[0]


def test_what_is_written_reads_back_equal():
    """Every table, place and number survives, types included."""
    before = knowledge()
    after = decode(encode(before))
    assert after == before
    assert encode(after) == encode(before)


def test_the_round_trip_covers_every_class_of_the_model():
    """The sample holds at least one of each class that knowledge can hold, so that the round trip proves something."""
    seen = set()

    def walk(value):
        if hasattr(value, "_fields"):
            seen.add(type(value))
        if isinstance(value, typing.Mapping):
            for inner in value.values():
                walk(inner)
        elif isinstance(value, tuple | frozenset | list):
            for inner in value:
                walk(inner)

    walk(knowledge())
    every = {one for one in vars(model).values() if hasattr(one, "_fields")}
    assert every - seen == {model.Case, model.Expectation}


@given(st.integers(0, 10**6), st.integers(0, 255))
def test_one_changed_byte_is_noticed(at, byte):
    """Any byte changed anywhere makes the whole unreadable."""
    written = bytearray(encode(knowledge()))
    at %= len(written)
    if written[at] != byte:
        written[at] = byte
        assert decode(bytes(written)) is None


@given(st.binary(max_size=200))
def test_rubbish_is_no_knowledge(rubbish):
    """Bytes of any kind, with a right checksum or not, give None."""
    assert decode(rubbish) is None
    assert decode(fingerprint([("", rubbish)]).encode() + rubbish) is None


def test_another_shape_is_no_knowledge():
    """Tables that lack a column, or name what is not there, give None."""
    for payload in ({}, {"files": [], "sets": [], "knowledge": []}, {"files": [], "sets": [], "knowledge": [[1]] * 11}):
        written = json.dumps(payload).encode()
        assert decode(fingerprint([("", written)]).encode() + written) is None


def test_it_is_data_only():
    """What is written is JSON from its first brace on."""
    written = encode(loaded()[0])
    assert json.loads(written[32:])["files"] == ["rules/sample.yaml", "machines/BFP-2.yaml"]
    assert b"Ring-oiled" in written
    assert RULES.count("rule:") == len(loaded()[0].rules)


def test_the_fingerprint_depends_on_names_and_contents():
    """Order does not count; where one file ends and the next begins does."""
    assert fingerprint([("a", b"1"), ("b", b"2")]) == fingerprint([("b", b"2"), ("a", b"1")])
    assert fingerprint([("a", b"12"), ("b", b"")]) != fingerprint([("a", b"1"), ("b", b"2")])
    assert fingerprint([("a", None)]) != fingerprint([("a", b"")])
