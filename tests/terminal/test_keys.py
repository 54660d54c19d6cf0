"""The one table of keys."""

import itertools

import pytest

from diagnose.terminal.keys import KEYS, Command, Mode, Takes, Verb, help_lines, key_lines, keys_in, read
from diagnose.values.text import width


@pytest.mark.parametrize("key", KEYS, ids=lambda key: key.letter)
def test_the_letter_and_every_word_of_a_key_do_the_same(key):
    """In each mode of a key its letter and its words are read as the same verb, in any case of letters."""
    for mode in key.modes:
        own = [word for word in (key.letter, *key.words) if word != "why" or key.verb is Verb.WHY]
        assert {read(word.upper(), mode) for word in own} == {Command(key.verb)}


@pytest.mark.parametrize("mode", Mode)
def test_no_letter_means_two_things(mode):
    """Within a mode each letter belongs to one key only, and it is the same key in every other mode."""
    letters = [key.letter for key in keys_in(mode)]
    assert len(letters) == len(set(letters))
    assert len({key.letter for key in KEYS}) == len(KEYS)


@pytest.mark.parametrize("mode", Mode)
def test_back_leave_and_help_work_everywhere(mode):
    """There is no place from which one cannot step back, leave, or see the keys."""
    assert [read(typed, mode).verb for typed in ("b", "q", "?")] == [Verb.BACK, Verb.QUIT, Verb.HELP]


@pytest.mark.parametrize(
    ("typed", "command"),
    [
        ("n milky", Command(Verb.NOT_SURE, "milky")),
        ("Not sure  milky", Command(Verb.NOT_SURE, "milky")),
        ("maybe 2", Command(Verb.NOT_SURE, "2")),
        ("don\u2019t know", Command(Verb.CANNOT_TELL)),
        ("c 3", Command(Verb.CHANGE, "3")),
        ("change 3", Command(Verb.CHANGE, "3")),
        ("y 2", Command(Verb.WHY_CAUSE, "2")),
        ("why 2", Command(Verb.WHY_CAUSE, "2")),
        ("why", Command(Verb.WHY)),
        ("why not", Command(Verb.WHY_NOT)),
        ("why not jacket", Command(Verb.WHY_NOT, "jacket")),
        ("x jacket leak", Command(Verb.WHY_NOT, "jacket leak")),
        ("p run-up", Command(Verb.PHASE, "run-up")),
    ],
)
def test_what_follows_a_key_on_the_line_goes_with_it(typed, command):
    """A key that takes a number or words is read together with them, and the longest key wins."""
    assert read(typed, Mode.QUESTION) == command


@pytest.mark.parametrize(
    "typed", ["milky", "165 psig", "2", "a bit milky", "change of load", "back pressure high", "skipping", "", "u r"]
)
def test_an_answer_is_not_mistaken_for_a_key(typed):
    """Words that only begin like a key, numbers and values are left to be understood as an answer."""
    assert read(typed, Mode.QUESTION) is None


def test_a_key_that_makes_no_sense_in_a_mode_is_not_read_there():
    """Going on is for the ending, leaving for later is for a question."""
    assert read("g", Mode.QUESTION) is None
    assert read("s", Mode.ENDING) is None


def test_help_names_every_key_with_its_word_and_its_meaning():
    """The help is as long as the table, and each line has the letter, a word that works, and what it does."""
    lines = help_lines()
    assert len(lines) == len(KEYS)
    for key, line in zip(KEYS, lines, strict=True):
        letter, _, rest = line.partition(" or ")
        word, _, does = rest.partition(": ")
        assert (letter, does) == (key.letter, key.does)
        assert {read(word, mode).verb for mode in key.modes} == {key.verb}


@pytest.mark.parametrize(("mode", "columns", "lines"), list(itertools.product(Mode, (30, 40, 80, 120), (1, 2, 3))))
def test_the_keys_line_fits_and_always_says_how_to_leave_and_where_all_keys_are(mode, columns, lines):
    """However little room there is, leaving and all keys are named, and no line is too wide."""
    named = key_lines(mode, columns, lines, lead=("1-4 choose",))
    assert len(named) <= lines
    assert all(width(line) <= columns for line in named)
    assert named[-1].endswith("? all keys")
    assert "q leave" in " ".join(named)


def test_every_key_says_what_may_follow_it_in_its_help():
    """A key that takes more on its line shows so, or asks for it afterwards."""
    taking = {key.letter for key in KEYS if key.takes is not Takes.NOTHING}
    assert taking == {"n", "c", "y", "x", "p", "r"}
