"""What typed lines do in a quiz, without a screen."""

import pytest

from diagnose.knowledge import library
from diagnose.terminal.keys import Mode
from diagnose.terminal.quiz_faces import hold_plain
from diagnose.terminal.quiz_open import OpenTalk
from diagnose.training.attempt import Begun
from diagnose.training.quiz import OpenQuiz


@pytest.fixture(scope="module")
def knowledge():
    """Return the shipped knowledge with the demo site."""
    return library.load(site=library.demo_site()).knowledge


@pytest.fixture(scope="module")
def case(knowledge):
    """Return a short case."""
    cases = library.load_cases([library.shipped_cases() / "course"], knowledge)[0]
    return next(one for one in cases if one.id == "course-oil-low-before-the-start")


@pytest.fixture
def talk(case, knowledge):
    """Return a quiz at its beginning."""
    return OpenTalk(OpenQuiz(case, knowledge, [Begun("open", "shipped", case.id)]))


def test_safety_is_asked_before_curiosity(talk):
    """The first list holds the four steps and nothing to look at."""
    assert [one.value for one in talk.page().turn.options] == ["look", "call", "hold", "stop"]


def test_words_find_what_to_look_at(talk):
    """After the first step typed words open a list of checks, and b closes it."""
    talk.take("3")
    talk.take("oiler bottle")
    assert talk.page().turn.options[0].value == "oiler-bottle"
    talk.take("b")
    assert talk.page().turn.question.ask.startswith("What do you look at?")


def test_what_is_not_understood_changes_nothing(talk):
    """A number that is not there and nonsense are refused in one line each."""
    assert not talk.take("9")
    assert "choose 1 to 4" in talk.page().trouble
    talk.take("1")
    assert not talk.take("xyzzy")
    assert "xyzzy" in talk.page().trouble


@pytest.mark.parametrize("typed", ["101", "-5", "sure", "1e1", "½"])
def test_a_certainty_is_a_number_of_percent(talk, typed):
    """Only whole numbers from 0 to 100 are taken as how sure one is."""
    talk.take("3")
    talk.take("ready")
    talk.take("short of oil")
    talk.take("1")
    assert talk.page().turn.mode is Mode.ENTER
    assert not talk.take(typed)
    assert talk.take("75 %")


def test_what_one_would_do_can_be_taken_back_until_it_is_said(talk):
    """Back takes the last chosen task off the list again."""
    talk.take("3")
    talk.take("ready")
    talk.take("something these rules do not cover")
    talk.take("50")
    talk.take("done")
    many = len(talk.page().turn.options)
    talk.take("1")
    assert len(talk.page().turn.options) == many - 1
    talk.take("b")
    assert len(talk.page().turn.options) == many


def test_the_end_of_input_leaves_the_case_open(talk):
    """Plain lines that end in the middle leave the quiz; what was done stands."""
    written = []
    hold_plain(talk, iter(["3"]), written.append, echo=True)
    assert talk.left
    assert any("Noted: Do not start" in line for line in written)


def test_a_hint_sends_nobody_to_a_check_that_costs_marks(case, knowledge):
    """Once the case is settled, and no caution is likely any more, a hint says that no check would tell much more."""
    quiz = OpenQuiz(case, knowledge, [Begun("open", "shipped", case.id)])
    talk = OpenTalk(quiz)
    talk.take("3")
    while not quiz.opened.settled:
        quiz.look(quiz.opened.best().finding)
    talk.take("hint")
    assert talk.page().notice == "Hint: no check would tell much more."


def test_a_named_cause_can_be_taken_back(talk):
    """B takes the cause named last away; three named leave only done."""
    for typed in ("3", "ready", "short of oil", "1", "70", "foaming", "1", "20", "b", "foaming", "1", "10"):
        talk.take(typed)
    assert talk.take("other")
    talk.take("5")
    assert [one.value for one in talk.page().turn.options] == ["done"]
    talk.take("done")
    assert talk._quiz.attempt.stated["bearing-oil-low"] == 0.7
    assert sorted(talk._quiz.attempt.stated.values()) == [0.05, 0.1, 0.7]


def test_words_are_understood_as_a_consultation_understands_them(talk):
    """Lay words find the check although its question uses others."""
    talk.take("3")
    talk.take("is the bottle empty")
    assert "oiler-bottle" in [one.value for one in talk.page().turn.options]


def test_the_time_left_is_shown_while_checks_are_made(case, knowledge):
    """With a limit every page of checks says what is left; when it is over the causes are asked for."""
    left = [8.4]
    timed = OpenTalk(OpenQuiz(case, knowledge, [Begun("open", "shipped", case.id)]), minutes_left=lambda: left[0])
    timed.take("3")
    assert "Time left: 8 min." in timed.page().turn.title
    left[0] = 0.0
    assert not timed.take("oiler bottle")
    assert timed.page().turn.question.ask.startswith("Which causes?")
