"""Ids and nearest names."""

import pytest

from diagnose.values.names import did_you_mean, is_id, is_machine_id, nearest


@pytest.mark.parametrize("good", ["oil", "bearing-oil-look", "2-inch-valve", "a1"])
def test_words_joined_by_hyphens_are_ids(good):
    """Lower-case words and digits, single hyphens between."""
    assert is_id(good)


@pytest.mark.parametrize(
    "bad", ["", "Oil", "oil look", "oil_look", "-oil", "oil-", "oil--look", "öl", "٣", "a" * 81, "a\n"]
)
def test_anything_else_is_no_id(bad):
    """Capitals, blanks, underscores, loose hyphens, other alphabets and overlong names are refused."""
    assert not is_id(bad)


def test_machine_ids_may_have_capitals():
    """Machines keep the tags of the plant."""
    assert is_machine_id("BFP-2")
    assert not is_machine_id("BFP 2")


def test_the_nearest_name_wins():
    """The name most alike comes first; an unlike one is not offered."""
    assert nearest("bearing-oil-lok", ["bearing-oil-level", "bearing-oil-look", "speed"]) == ("bearing-oil-look",)
    assert nearest("zzz", ["bearing-oil-look"]) == ()


def test_capitals_and_underscores_do_not_hide_the_right_name():
    """A name in the wrong style finds the one meant."""
    assert nearest("Bearing_Oil_Look", ["bearing-oil-look", "speed"]) == ("bearing-oil-look",)


def test_few_names_are_all_offered_when_none_is_near():
    """With nothing alike a short list is given whole, a long one not at all."""
    assert did_you_mean("xyz", ["normal", "abnormal"]) == "Use one of: abnormal, normal."
    assert did_you_mean("xyz", [f"name{i}" for i in range(30)]) == ""
