"""The consultation line by line."""

import subprocess
import sys

import pytest
from pretend_session import PretendSession
from sample_views import CALL, ENDED
from seen_terminal import ROOT

from diagnose.consultation import events
from diagnose.terminal.plain import choose_plain, run_plain, write_ending


def consult(*typed, session=None, echo=True, **more):
    """Return all lines that a consultation writes when these lines are typed and the input then ends."""
    said = []
    run_plain(session or PretendSession(), iter(f"{line}\n" for line in typed), said.append, echo=echo, **more)
    return said


def test_a_whole_step_reads_as_this():
    """Machine, causes, question, how to look and answers, each line by itself; then what changed."""
    said = consult("milky")
    assert said[:26] == [
        "Machine: BFP-2 Boiler feed pump turbine, loaded.",
        "Local procedure and your supervisor come first; this only advises.",
        "Cause 1 of 3: Cooling water leaks from the jacket into the bearing housing, about as likely as not, 45 percent.",
        "Cause 2 of 3: Thrust bearing is failing, unlikely, 21 percent, dangerous if so.",
        "Cause 3 of 3: Something these rules do not cover, very unlikely, 8 percent.",
        "Question: What does a small sample of bearing oil look like?",
        "How: Draw a little from the drain into a clean glass; let it stand a minute.",
        "Mind: hot oil.",
        "Usual on this machine: clear.",
        "Answer 1 of 4: clear (normal, usual here)",
        "Answer 2 of 4: milky",
        "Answer 3 of 4: foamy",
        "Answer 4 of 4: dark",
        "Asked because it tells apart: Cooling jacket leaks; Oil is overfilled.",
        (
            "Keys: u can't tell, n not sure, s later, b back, w why, e end, c change, a add, y why cause, x why not, "
            "o other machine, p phase, r put right, q leave, ? all keys."
        ),
        "> milky",
        "Noted: milky.",
        "Cause 1 of 3: Cooling water leaks from the jacket into the bearing housing, likely, 71 percent, up 26.",
        "Cause 2 of 3: Thrust bearing is failing, unlikely, 21 percent, dangerous if so.",
        "Cause 3 of 3: Something these rules do not cover, very unlikely, 8 percent.",
        "Question: What does the exhaust pressure gauge at the casing read?",
        "How: Read it square on; tap nothing.",
        "Mind: hot surfaces.",
        "Usual on this machine: 2.0 bar gauge.",
        "Type the number in bar gauge, or with its own unit. Or choose with a word:",
        "Word: normal",
    ]


def test_the_end_of_input_ends_with_the_ending_and_saves():
    """Input that stops half-way leaves once, shows what is known, and does not ask again."""
    session = PretendSession()
    said = consult("milky", session=session)
    assert session.intents[-1] == events.Leave()
    assert sum("exhaust pressure gauge" in line for line in said if line.startswith("Question")) == 1
    assert said[-1] == "Saved. You can take it up again."
    assert "Read this to your supervisor:" in said


def test_no_input_at_all_ends_as_well():
    """An empty input is no loop."""
    session = PretendSession()
    consult(session=session)
    assert session.intents == [events.Leave()]


def test_an_interrupt_leaves_at_once_saved_with_one_line():
    """After an interrupt nothing but one line is written, and the consultation is kept."""

    def interrupted():
        yield "milky\n"
        raise KeyboardInterrupt

    session, said = PretendSession(), []
    run_plain(session, interrupted(), said.append, echo=True)
    assert session.intents[-1] == events.Leave()
    assert said[said.index("Word: low") :] == [
        "Word: low",
        "Asked first because it can settle whether the machine must be stopped.",
        "Saved. You can take it up again.",
    ]


def test_the_ending_is_not_said_twice_when_leaving_from_it():
    """Who has just heard the ending hears it once."""
    assert consult("e", "q").count("Who decides:") == 1


def test_leaving_from_a_question_says_the_ending_first():
    """Leaving in the middle still gives what is known."""
    said = consult("milky", "q")
    assert said.index("Who decides:") < said.index("Saved. You can take it up again.")


def test_a_new_caution_is_said_in_full_on_one_line_and_never_dropped_after():
    """A caution comes with what to do; at each later step it is said to be still in force."""
    session = PretendSession()
    said = consult("a", "pressure", "1", "2.9", "w", "b", "u", session=session)
    full = f"Caution 1 of 1: CALL THE SUPERVISOR: {CALL.say} Do: {CALL.do} Local procedure: {CALL.procedure}."
    assert any(line.startswith(full) for line in said)
    session = PretendSession(said={"exhaust-pressure": events.Answer(number=2.9)})
    later = consult("p run-up", session=session)
    assert f"Caution 1 of 1, still in force: CALL THE SUPERVISOR: {CALL.say}" in later


def test_a_wrong_line_is_answered_with_one_line_and_the_question_stays():
    """The question is not repeated for a slip; the next line answers it."""
    session = PretendSession()
    said = consult("purple", "2", session=session)
    at = said.index("> purple")
    assert said[at + 1 : at + 3] == ["Not taken: 'purple' is not one of the answers.", "> 2"]
    assert session.said["bearing-oil-look"].value == "milky"


def test_a_person_at_a_terminal_is_prompted_and_not_repeated():
    """Without echo each turn ends with a line that asks; what is typed is not written again."""
    said = consult("2", echo=False)
    assert said.count("Your answer, then Enter:") == 2
    assert not any(line.startswith(">") for line in said)


@pytest.mark.parametrize("typed", [("?",), ("w",), ("e",), ("o", "1"), ("c",), ("milky", "2.9 bar")])
def test_no_line_needs_more_than_printable_ascii_without_control(typed):
    """Plain lines hold no drawing, no cursor movement and no line end of their own."""
    for line in consult(*typed):
        assert line.isprintable()
        assert line.isascii()


def test_hostile_text_comes_out_inert():
    """An escape sequence in a machine's title, or typed, is shown and not obeyed."""
    said = consult("\x1b[2Jx", session=PretendSession(title="\x1b]0;owned\x07Pump"))
    assert all(line.isprintable() for line in said)
    assert "Machine: BFP-2 \\x1b]0;owned\\x07Pump, loaded." in said


def test_an_ascii_output_gets_spelt_units():
    """The encoding of the output decides what is spelt out."""
    said = consult(session=PretendSession(title="Pump at 61 \u00b0C"), encoding="ascii")
    assert said[0] == "Machine: BFP-2 Pump at 61 deg C, loaded."


def test_an_ending_can_be_written_without_asking_anybody():
    """Commands that ask nobody write the same ending."""
    said = []
    write_ending(ENDED._replace(machine_title="\x1b[31m"), said.append)
    assert said[0] == "Cautions:"
    assert all(line.isprintable() for line in said)


def test_a_list_is_chosen_from_by_number_after_a_slip():
    """Before a consultation the machine is chosen the same way."""
    said = []
    chosen = choose_plain(
        "Which machine?", [("BFP-2", "Feed pump"), ("CP-4", "Condensate")], iter(["7", "2"]), said.append
    )
    assert chosen == "CP-4"
    assert said[:3] == ["Which machine?", "Choice 1 of 2: Feed pump", "Choice 2 of 2: Condensate"]
    assert "Not taken: There is no number 7 here; choose 1 to 2." in said


def test_a_list_whose_input_ends_chooses_nothing():
    """The end of input leaves the list."""
    assert choose_plain("Which machine?", [("BFP-2", "Feed pump")], iter([]), [].append) is None


def test_plain_lines_start_without_the_terminal_library():
    """Importing the plain face does not load prompt_toolkit."""
    code = "import diagnose.terminal.plain, sys; print('prompt_toolkit' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"
