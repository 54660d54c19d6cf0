"""What a typed line does, whichever face it was typed at."""

import pytest
from pretend_session import PretendSession

from diagnose.consultation import events
from diagnose.consultation.events import Answer
from diagnose.terminal.chooser import Chooser
from diagnose.terminal.dialogue import Dialogue
from diagnose.terminal.keys import Mode
from diagnose.values.problem import DiagnoseError


@pytest.fixture
def session():
    """Return a consultation that stands at its first question."""
    return PretendSession()


@pytest.fixture
def dialogue(session):
    """Return a dialogue at the first question: how the oil looks."""
    return Dialogue(session)


def take(dialogue, *lines):
    """Type lines that must all be taken."""
    for line in lines:
        assert dialogue.take(line), dialogue.page().trouble


class RefusingSession(PretendSession):
    """A consultation whose record takes nothing any more."""

    def do(self, intent):
        """Refuse."""
        raise DiagnoseError("The journal cannot be written: the disk is full.", where="journal", mend="Make room.")


def test_a_record_that_refuses_holds_nobody_back():
    """Leaving works on a full disk, and says what could not be kept."""
    dialogue = Dialogue(RefusingSession())
    assert not dialogue.take("milky")
    assert dialogue.take("q")
    assert dialogue.done
    assert dialogue.parting == "journal: The journal cannot be written: the disk is full. Make room."


@pytest.mark.parametrize(("run", "says"), [("20260302-bcdf", "Saved."), ("", "No record of it is kept.")])
def test_only_what_is_kept_is_called_saved(run, says):
    """Without a record nobody is told that it was saved."""
    dialogue = Dialogue(PretendSession(run=run))
    take(dialogue, "q")
    assert says in dialogue.parting


def milky(*, sure=True):
    """Return the intent that the oil is milky."""
    return events.Report("bearing-oil-look", Answer("milky", sure=sure, typed="milky"))


@pytest.mark.parametrize("typed", ["2", "milky", " MILKY "])
def test_a_number_and_its_word_give_the_same_answer(session, dialogue, typed):
    """Choosing by number or by word makes no difference to what is kept."""
    take(dialogue, typed)
    assert session.intents == [milky()]


@pytest.mark.parametrize("lines", [["2?"], ["milky?"], ["n 2"], ["not sure milky"], ["n", "2"], ["not sure", "milky"]])
def test_not_sure_can_be_said_before_after_and_on_its_own(session, dialogue, lines):
    """Every way of being unsure gives one unsure answer."""
    take(dialogue, *lines)
    assert session.intents == [milky(sure=False)]


def test_a_number_where_a_reading_is_asked_is_the_reading_and_never_a_choice(session, dialogue):
    """The second choice of the pressure question is 'high', but 2 is two bar."""
    take(dialogue, "milky", "2")
    assert session.intents[-1] == events.Report("exhaust-pressure", Answer(number=2.0, typed="2"))
    assert dialogue.page().notice == "Taken as bar gauge."


@pytest.mark.parametrize("lines", [["2.9 bar?"], ["n 2.9 bar"], ["n", "2.9 bar"]])
def test_a_number_can_be_unsure_too(session, dialogue, lines):
    """Doubt about a reading is kept like doubt about a word."""
    take(dialogue, "milky", *lines)
    assert session.intents[-1] == events.Report("exhaust-pressure", Answer(number=2.9, sure=False, typed="2.9 bar"))


def test_a_reading_may_be_answered_with_a_word(session, dialogue):
    """The words of the condition are answers too."""
    take(dialogue, "milky", "high")
    assert session.intents[-1].answer.value == "high"


@pytest.mark.parametrize("typed", ["9", "0", "purple", "", "   ", "c 4", "y 7", "x nonsense", "p nowhere"])
def test_what_cannot_be_taken_gives_one_line_and_changes_nothing(session, dialogue, typed):
    """A wrong number, word or nothing at all leaves the same question open and says so in one line."""
    before = dialogue.page()
    assert not dialogue.take(typed)
    after = dialogue.page()
    assert after.trouble
    assert "\n" not in after.trouble
    assert (after.turn.question, after.view, session.intents) == (before.turn.question, before.view, [])


@pytest.mark.parametrize(
    ("typed", "intent"),
    [
        ("u", events.CannotTell("bearing-oil-look")),
        ("s", events.Skip("bearing-oil-look")),
        ("e", events.Stop()),
        ("p run up", events.SetPhase("run-up")),
        ("r 1", events.PutRight("cooling-jacket-leak")),
        ("q", events.Leave()),
    ],
)
def test_each_key_becomes_its_intent(session, dialogue, typed, intent):
    """A key that needs no more asking is one intent."""
    take(dialogue, typed)
    assert session.intents == [intent]


def test_back_closes_what_was_opened_before_it_undoes_an_answer(session, dialogue):
    """Out of a list first; only then back to the question before."""
    take(dialogue, "milky", "y")
    assert dialogue.turn.mode is Mode.PICK
    take(dialogue, "b")
    assert session.intents == [milky()]
    take(dialogue, "b")
    assert session.intents[-1] == events.Back()
    assert dialogue.turn.question.finding == "bearing-oil-look"


def test_back_with_nothing_to_go_back_to_says_so(dialogue):
    """At the first question there is nothing before."""
    assert not dialogue.take("b")
    assert dialogue.page().trouble == "There is nothing to go back to."


def test_an_earlier_answer_is_changed_by_its_number(session, dialogue):
    """The list of answers leads to the question again, and its new answer replaces the old one."""
    take(dialogue, "milky", "c", "1", "dark")
    assert session.said["bearing-oil-look"].value == "dark"
    assert dialogue.turn.question.finding == "exhaust-pressure"


def test_an_earlier_answer_is_taken_back_as_if_never_given(session, dialogue):
    """Taking back is offered where an answer is changed."""
    take(dialogue, "milky", "c 1", "t")
    assert session.intents[-1] == events.TakeBack("bearing-oil-look")
    assert dialogue.turn.question.finding == "bearing-oil-look"


def test_a_finding_is_added_in_own_words(session, dialogue):
    """Words that tell the value need only be confirmed; others lead to the finding's own question."""
    take(dialogue, "a", "milk and pressure", "1")
    assert session.intents == [events.Report("bearing-oil-look", Answer("milky", typed="milk and pressure"))]
    take(dialogue, "a", "pressure", "1", "2.9 bar")
    assert session.intents[-1] == events.Report("exhaust-pressure", Answer(number=2.9, typed="2.9 bar"))


def test_none_of_the_matches_leads_back_to_saying_it_in_other_words(session, dialogue):
    """The list of matches can be refused, and nothing is kept."""
    take(dialogue, "a", "milk", "2")
    assert (dialogue.turn.mode, session.intents) == (Mode.ENTER, [])


def test_words_that_match_nothing_are_not_lost(dialogue):
    """Own words that no finding is known by leave the same entry open."""
    take(dialogue, "a")
    assert not dialogue.take("purple smell")
    assert dialogue.turn.mode is Mode.ENTER


def test_what_is_known_of_another_machine_is_told_of_that_machine(session, dialogue):
    """The list leaves out this machine; the answer goes to the other one."""
    take(dialogue, "o")
    assert [option.value for option in dialogue.turn.options] == ["FDF-1", "CP-4"]
    take(dialogue, "fdf-1", "pressure", "1", "high")
    assert session.intents == [events.OtherMachine("FDF-1", "exhaust-pressure", Answer("high", typed="high"))]


def test_another_errand_may_begin_while_a_question_that_was_brought_up_is_open(session, dialogue):
    """Whoever adds a finding can still turn to something else, and comes back to the open question."""
    take(dialogue, "a", "pressure", "1", "a", "milk", "1")
    assert [intent.finding for intent in session.intents] == ["bearing-oil-look"]
    assert dialogue.turn.mode is Mode.QUESTION


def test_the_first_thing_asked_is_what_is_not_normal():
    """Without a symptom own words come first, and then the questions."""
    session = PretendSession(reported=False)
    dialogue = Dialogue(session)
    assert dialogue.turn.mode is Mode.REPORT
    take(dialogue, "oil like milk", "1")
    assert dialogue.turn.question.finding == "exhaust-pressure"


def test_asking_why_leaves_the_answers_alone(session, dialogue):
    """Why, why this cause, why not that one and help are read and closed without an intent."""
    take(dialogue, "w")
    assert dialogue.turn.lines == tuple(session.why_question())
    take(dialogue, "", "y 1")
    assert dialogue.turn.lines == ("cooling-jacket-leak: because of the milky oil.",)
    take(dialogue, "b", "x thrust")
    assert dialogue.turn.lines == ("thrust-failing: held down by the clear oil.",)
    take(dialogue, "b", "?", "b")
    assert (dialogue.turn.mode, session.intents) == (Mode.QUESTION, [])


def test_a_question_that_was_brought_up_is_not_explained_as_another():
    """Why, asked of a question the operator brought up, says so instead of explaining the open one."""
    session = PretendSession()
    dialogue = Dialogue(session)
    take(dialogue, "a", "pressure", "1", "why")
    assert dialogue.turn.lines != tuple(session.why_question())
    take(dialogue, "", "high")
    assert session.intents[-1].finding == "exhaust-pressure"


def test_an_answer_typed_over_an_open_page_is_taken(session, dialogue):
    """Who has read why need not close the page first."""
    take(dialogue, "w", "2")
    assert session.intents == [milky()]


def test_why_the_uncovered_row_stands_where_it_does_is_explained(dialogue):
    """The row of what is not covered can be asked about like a cause."""
    take(dialogue, "y", "3")
    assert dialogue.turn.lines[0].startswith("Cause 3 of 3: Something these rules do not cover")


def test_something_not_covered_cannot_be_put_right(dialogue):
    """Only a listed cause can have been put right."""
    assert not dialogue.take("r 3")
    take(dialogue, "r")
    assert [option.value for option in dialogue.turn.options] == ["cooling-jacket-leak", "thrust-failing"]


def test_after_the_ending_the_questions_can_go_on(session, dialogue):
    """Ending and going on stand at the same question again."""
    take(dialogue, "e")
    assert dialogue.turn.mode is Mode.ENDING
    take(dialogue, "g")
    assert dialogue.turn.question.finding == "bearing-oil-look"
    assert session.intents == [events.Stop(), events.GoOn()]


def test_how_far_a_cause_moved_is_measured_from_before_the_latest_answer(dialogue):
    """The page keeps the probabilities that stood before."""
    take(dialogue, "milky")
    assert dialogue.page().before["cooling-jacket-leak"] == 0.45


def test_an_error_that_repeats_hostile_text_cannot_act_on_the_terminal(dialogue):
    """What was typed comes back inert in the complaint."""
    assert not dialogue.take("x \x1b[2J\u202e")
    assert dialogue.page().trouble.isprintable()


@pytest.mark.parametrize("typed", ["2", "CP-4", "cp-4", "condensate pump"])
def test_a_machine_is_chosen_by_number_name_or_words(typed):
    """Before there is a consultation a list works with the same keys."""
    chooser = Chooser("Which machine?", [("BFP-2", "Feed pump"), ("CP-4", "Condensate pump")])
    assert chooser.take(typed)
    assert (chooser.done, chooser.chosen) == (True, "CP-4")


def test_leaving_a_list_chooses_nothing_and_a_wrong_number_asks_again():
    """A number out of the list keeps asking; q leaves."""
    chooser = Chooser("Which machine?", [("BFP-2", "Feed pump")])
    assert not chooser.take("2")
    assert not chooser.done
    assert chooser.take("q")
    assert (chooser.done, chooser.chosen) == (True, None)
