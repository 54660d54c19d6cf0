"""The full screen, keys through a pipe, with no terminal."""

import pytest
from pretend_session import PretendSession
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from diagnose.consultation import events
from diagnose.terminal import app
from diagnose.terminal.app import choose_full, run_full

DOWN, UP, ESCAPE, BACKSPACE = "\x1b[B", "\x1b[A", "\x1b", "\x7f"
CTRL_C, CTRL_D = "\x03", "\x04"
MILKY = events.Report("bearing-oil-look", events.Answer("milky", typed="milky"))


def intents(keys, **session):
    """Return what a consultation was wished when these keys are pressed on the full screen."""
    held = PretendSession(**session)
    with create_pipe_input() as pipe:
        pipe.send_text(keys)
        run_full(held, input=pipe, output=DummyOutput())
    return held.intents


@pytest.mark.parametrize(
    "keys", ["2\r", "milky\r", f"{DOWN}{DOWN}\r", f"{UP}{UP}{UP}\r", f"3{BACKSPACE}2\r", f"clear{DOWN}{DOWN}\r"]
)
def test_number_word_and_arrows_choose_the_same_answer(keys):
    """However an answer is chosen, the same is kept."""
    assert intents(f"{keys}q\r") == [MILKY, events.Leave()]


def test_nothing_is_chosen_before_the_arrows_or_a_word_say_so():
    """Enter alone answers nothing."""
    assert intents("\r\rq\r") == [events.Leave()]


def test_typing_after_the_arrows_takes_the_choice_off_again():
    """Who begins to type has changed his mind: an emptied line and Enter choose nothing."""
    assert intents(f"{DOWN}x{BACKSPACE}\rq\r") == [events.Leave()]


def test_a_line_that_was_not_taken_stays_to_be_mended():
    """After a slip the letters are still there: mending one makes the answer."""
    assert intents(f"milkx\r{BACKSPACE}y\rq\r") == [MILKY, events.Leave()]


def test_a_line_that_was_not_taken_is_typed_over():
    """Who types anew after a slip need not delete the old words first."""
    assert intents("nonsense\rmilky\rq\r") == [MILKY, events.Leave()]


def test_a_key_that_does_nothing_here_does_not_stay_in_the_way():
    """Changing an answer when there is none says so and leaves the line empty for the next."""
    assert intents("c\r2\rq\r") == [MILKY, events.Leave()]


def test_asking_why_then_going_back_leaves_the_answers_alone():
    """Why, back, leave: nothing is answered."""
    assert intents("w\rb\rq\r") == [events.Leave()]


def test_a_letter_alone_does_nothing_until_enter():
    """A key pressed by a glove can be taken out again."""
    assert intents(f"u{BACKSPACE}2\rq\r") == [MILKY, events.Leave()]


@pytest.mark.parametrize("key", [CTRL_C, CTRL_D])
def test_leaving_by_control_keys_saves(key):
    """Both ways out keep the consultation, even with a half-typed line."""
    assert intents(f"mil{key}") == [events.Leave()]


def test_a_consultation_can_be_held_to_its_ending_and_beyond():
    """Answer, end, go on, change, leave: each arrives in this order."""
    wished = intents("2\re\rg\rc 1\rdark\rq\r")
    kinds = [type(intent) for intent in wished]
    assert kinds == [events.Report, events.Stop, events.GoOn, events.Report, events.Leave]


@pytest.mark.parametrize(
    ("keys", "chosen"), [("2\r", "CP-4"), (f"{DOWN}\r", "BFP-2"), ("cp-4\r", "CP-4"), ("q\r", None), (CTRL_C, None)]
)
def test_a_list_before_the_consultation_works_with_the_same_keys(keys, chosen):
    """Number, arrows, name; leaving chooses nothing."""
    with create_pipe_input() as pipe:
        pipe.send_text(keys)
        options = [("BFP-2", "Feed pump"), ("CP-4", "Condensate pump")]
        assert choose_full("Which machine?", options, input=pipe, output=DummyOutput()) == chosen


@pytest.mark.parametrize("broken", ["understand", "do", "compose"])
def test_a_fault_leaves_the_screen_and_reaches_whoever_runs_it(broken, monkeypatch):
    """An unexpected error while a key is carried out or the page is drawn is not printed over the screen."""
    held = PretendSession()

    def fail(*_, **__):
        raise RuntimeError("planted")

    monkeypatch.setattr(held, broken, fail) if broken != "compose" else monkeypatch.setattr(app, "compose", fail)
    with create_pipe_input() as pipe:
        pipe.send_text("purple\r" if broken == "understand" else "2\r")
        with pytest.raises(RuntimeError, match="planted"):
            run_full(held, input=pipe, output=DummyOutput())
