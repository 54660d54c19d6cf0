"""Both faces at a real pseudo-terminal, seen as a person sees them."""

import re
import subprocess
import sys

import pytest
from seen_terminal import DRIVER, ROOT, terminal

PAGE_DOWN = "\x1b[6~"
COLOURED = re.compile(r"\x1b\[[0-9;]*\b(3[0-7]|4[0-7]|9[0-7]|10[0-7]|38|48)\b[0-9;]*m")


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (40, 24), (120, 40)])
def test_question_answers_and_keys_are_on_the_screen(columns, rows):
    """At each size an operator sees machine, question, all answers and the way to all keys."""
    with terminal("full", columns=columns, rows=rows) as seen:
        text = seen.wait_for("? all keys")
        assert text.startswith("BFP-2 Boiler feed pump turbine, loaded")
        assert all(f"{number} {word}" in text for number, word in enumerate(["clear", "milky", "foamy", "dark"], 1))
        assert "What does a small sample" in text
        seen.send("2\r")
        assert "Noted: milky." in seen.wait_for("exhaust pressure gauge")


def test_a_caution_stays_while_the_ending_is_scrolled():
    """Page Down moves the text and leaves the caution where it is."""
    with terminal("full") as seen:
        seen.wait_for("? all keys")
        seen.send("2\r2.9\r")
        first = seen.wait_for("How it stands")
        seen.send(PAGE_DOWN)
        second = seen.wait_for("more above")
        rank = "CALL THE SUPERVISOR: Pressure in the exhaust casing may be too high."
        assert rank in first.splitlines()[2]
        assert rank in second.splitlines()[2]


def test_a_resized_screen_is_laid_out_again():
    """From narrow to wide the causes move beside the question; what was typed stays."""
    with terminal("full", columns=50, rows=30) as seen:
        seen.wait_for("? all keys")
        seen.send("milk")
        seen.wait_for("> milk")
        seen.resize(120, 30)
        text = seen.wait_for("Usual on this machine: clear.   ")
        row = next(line for line in text.splitlines() if "Likely causes now" in line)
        assert row.index("Likely causes now") > 50
        assert "> milk" in text


def test_leaving_shows_the_ending_on_the_ordinary_screen():
    """After q the ending can be read above the prompt, and it was saved."""
    with terminal("full", rows=60) as seen:
        seen.wait_for("? all keys")
        seen.send("2\rq\r")
        seen.wait_for_end()
        assert "Read this to your supervisor" in seen.text
        assert "Saved. You can take it up again.\nintents: ['Report', 'Leave']" in seen.text


@pytest.mark.parametrize("how", ["full", "plain"])
def test_ctrl_c_leaves_at_once_with_one_line(how):
    """An interrupt saves and says so in one line, no ending and no traceback."""
    with terminal(how) as seen:
        seen.wait_for("all keys" if how == "full" else "Your answer")
        seen.send("\x03")
        seen.wait_for_end()
        after = [
            line for line in seen.text.splitlines() if "Saved." in line or "Who decides" in line or "Traceback" in line
        ]
        assert [line.removeprefix("^C") for line in after] == ["Saved. You can take it up again."]
        assert "intents: ['Leave']" in seen.text


@pytest.mark.parametrize("how", ["full", "plain"])
def test_ctrl_d_leaves_saved_after_the_ending(how):
    """The end-of-input key shows the ending, then saves."""
    with terminal(how, rows=60) as seen:
        seen.wait_for("all keys" if how == "full" else "Your answer")
        seen.send("\x04")
        seen.wait_for_end()
        assert seen.text.index("Who decides") < seen.text.index("Saved.")
        assert "intents: ['Leave']" in seen.text


def test_no_color_gives_the_same_screen_without_colours():
    """NO_COLOR takes the colours away and nothing else."""
    texts = []
    for environment in ({}, {"NO_COLOR": "1"}):
        with terminal("full", **environment) as seen:
            seen.wait_for("? all keys")
            seen.send("2\r2.9\r")
            texts.append((seen.wait_for("r put right"), bool(COLOURED.search(seen.raw))))
    assert texts[0][0] == texts[1][0]
    assert [coloured for _, coloured in texts] == [True, False]


def test_an_ascii_terminal_gets_ascii():
    """Where the output is not UTF-8 nothing but ASCII is sent."""
    with terminal("full", PYTHONIOENCODING="ascii", PYTHONUTF8="0") as seen:
        assert " 45% ####...... 1 Cooling" in seen.wait_for("? all keys")
        assert seen.raw.isascii()


def test_plain_lines_send_no_escape_sequence_even_at_a_terminal():
    """The plain face moves no cursor and colours nothing."""
    with terminal("plain") as seen:
        seen.wait_for("Your answer")
        seen.send("2\r")
        seen.wait_for("exhaust pressure gauge")
        assert "\x1b" not in seen.raw


@pytest.mark.parametrize("typed", [b"", b"milky\n", b"\xff\xfe\x00\n9\n", b"\n" * 50])
def test_a_pipe_is_read_to_its_end_and_no_further(typed):
    """Whatever comes through a pipe, the program ends with the ending and status nought."""
    known = {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8:replace"}
    done = subprocess.run(
        [sys.executable, str(DRIVER), "plain"], input=typed, env=known, capture_output=True, timeout=20, check=True
    )
    assert done.stdout.decode().splitlines()[-2] == "Saved. You can take it up again."
    assert done.stderr == b""
