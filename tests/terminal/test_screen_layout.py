"""Pages laid out for screens of several sizes, without a screen."""

import itertools

import pytest
from pretend_session import PretendSession
from sample_views import ASKING, CALL, ENDED, LOOK, STOP, WATCH

from diagnose.terminal.dialogue import Dialogue
from diagnose.terminal.harmless import marks_for
from diagnose.terminal.keys import Mode
from diagnose.terminal.lines import text_of
from diagnose.terminal.page import Page, Turn, asking
from diagnose.terminal.screen import compose
from diagnose.terminal.style import Style
from diagnose.values.text import width

MARKS = marks_for("utf-8")
SIZES = [(80, 24), (40, 24), (40, 12), (120, 40), (110, 20), (20, 8), (200, 60)]
ENDING = Page(Turn(Mode.ENDING, print), ENDED._replace(cautions=(WATCH, CALL, STOP)))


def question_page(view=ASKING, **more):
    """Return a page that puts the view's question."""
    return Page(asking(Mode.QUESTION, view.question, print), view, **more)


def shown(page, columns=80, rows=24, marks=MARKS, **more):
    """Return the laid-out lines as text."""
    return [text_of(line) for line in compose(page, columns, rows, marks, **more).lines]


def scrolled(page, columns, rows):
    """Return everything that scrolling down brings to the screen."""
    seen = []
    for step in range(0, 400, 3):
        screen = compose(page, columns, rows, MARKS, scroll=step)
        seen += [text_of(line) for line in screen.lines]
        if screen.scroll < step:
            return seen
    raise AssertionError("the text has no end")


@pytest.mark.parametrize(("size", "page"), list(itertools.product(SIZES, [question_page(), ENDING])))
def test_a_page_fills_its_screen_exactly_and_no_line_is_too_wide(size, page):
    """At every size there are as many lines as rows, none wider than the screen."""
    lines = shown(page, *size)
    assert len(lines) == size[1]
    assert max(map(width, lines)) <= size[0]


@pytest.mark.parametrize(
    ("size", "scroll"), list(itertools.product([(80, 24), (40, 24), (40, 12), (120, 40)], [0, 5, 500]))
)
def test_no_caution_is_ever_scrolled_away(size, scroll):
    """Ranks of all cautions stand above everything else, however far the text has been moved."""
    view = ASKING._replace(cautions=(WATCH, CALL, STOP))
    for page in (question_page(view), ENDING):
        lines = shown(page, *size, scroll=scroll)
        places = [
            next(n for n, line in enumerate(lines) if line.startswith(rank))
            for rank in ("STOP NOW", "CALL THE SUPERVISOR", "WATCH")
        ]
        assert places == sorted(places)
        assert places[-1] < size[1] // 2 + 2


def test_where_cautions_are_shortened_they_can_be_read_in_full_below():
    """On a small screen what to do stands in the text that scrolls."""
    view = ASKING._replace(cautions=(STOP, CALL, WATCH))
    seen = " ".join(" ".join(line.split()) for line in scrolled(question_page(view), 40, 16))
    assert "Cautions in full" in seen
    assert "local procedure for high" in seen
    assert "Look again each hour." in seen


def test_where_there_is_room_a_caution_is_whole_at_the_top():
    """Rank, what it is, what to do and the local procedure stay in sight."""
    lines = " ".join(shown(question_page(), 120, 40)[:6])
    for words in ("CALL THE SUPERVISOR", CALL.say, CALL.do, CALL.procedure):
        assert words in lines


def test_in_a_stop_what_to_do_stays_above_the_ending_and_is_not_said_twice():
    """Trip by hand now is in sight on every part of the ending; its grounds come last."""
    page = Page(Turn(Mode.ENDING, print), ENDED._replace(cautions=(STOP,), refer=(), standing="stop-caution"))
    for scroll in (0, 20, 500):
        lines = shown(page, 80, 23, scroll=scroll)
        assert any(line.startswith("Do: Trip by hand now") for line in lines[:6])
    assert not any(line == "Cautions" for line in shown(page, 80, 23))
    assert "Cautions" in shown(page, 80, 23, scroll=500)


def test_what_the_cautions_rest_on_can_be_read_below():
    """Because and source stand in the text that scrolls, at any size."""
    for columns, rows in ((80, 24), (40, 24), (120, 40)):
        seen = " ".join(" ".join(line.split()) for line in scrolled(question_page(), columns, rows))
        assert "Source of this caution: common practice." in seen


def test_a_caution_leaves_room_for_the_question_and_the_leading_cause():
    """On the usual 80 by 24 with a caution, all answers and the first cause are in sight without scrolling."""
    lines = shown(question_page(), 80, 23)
    assert "  4 dark" in lines
    assert any(" 1 Cooling water leaks" in line for line in lines)


def test_a_dangerous_cause_asks_for_the_supervisor_at_the_top():
    """The call comes with the cautions, before the question."""
    lines = shown(question_page(ASKING._replace(cautions=(), refer=("dangerous-cause",))))
    assert "A dangerous cause is possible: call the supervisor now." in lines[:4]


def test_the_question_says_how_to_look_what_to_mind_and_what_is_usual():
    """Everything an operator needs at the machine stands with the question."""
    lines = shown(question_page(ASKING._replace(cautions=())))
    for line in (
        LOOK.ask,
        f"How: {LOOK.how}",
        "Mind: hot oil",
        "Usual on this machine: clear.",
        "  1 clear (normal, usual here)",
        "  4 dark",
    ):
        assert line in lines


def test_a_page_that_is_too_long_says_so_and_all_of_it_can_be_reached():
    """A mark tells that more lies below or above; scrolling reaches the last line."""
    lines = shown(ENDING)
    assert " more below: Page Down " in lines
    seen = scrolled(ENDING, 80, 24)
    assert any("Rules: revision 1f2e." in line for line in seen)
    assert " more above: Page Up " in seen


def test_where_the_causes_do_not_fit_the_leading_one_stands_in_the_last_row():
    """Bar, number and name of the first cause are in sight even when the list of causes is not."""
    lines = shown(question_page(before={"cooling-jacket-leak": 0.45}), 80, 18)
    assert not any(line.startswith(" 71%") for line in lines)
    assert any(line.startswith(" more below: Page Down   71% \u2588") for line in lines)


def test_a_page_that_fits_says_nothing_of_more():
    """Where all fits there is no mark."""
    assert not any("more below" in line or "more above" in line for line in shown(question_page(), 120, 60))


@pytest.mark.parametrize("rows", [8, 10, 12, 24])
def test_the_option_that_the_arrows_stand_on_is_kept_in_sight(rows):
    """Going down a list moves the text along with it, and the option is marked with a sign, not only a colour."""
    lines = shown(question_page(ASKING._replace(cautions=())), 80, rows, chosen=3)
    assert f"{MARKS.pointer} 4 dark" in lines


def test_a_wide_screen_has_question_and_causes_side_by_side():
    """From 110 columns on the causes stand beside the question, below that under it."""
    wide, usual = (shown(question_page(ASKING._replace(cautions=())), columns, 40) for columns in (110, 109))
    assert any(LOOK.ask in line for line in wide[:4])
    assert any("Likely causes now" in line and not line.startswith("Likely") for line in wide)
    assert any(line.startswith("Likely causes now") for line in usual)


@pytest.mark.parametrize("probability", [0.0, 0.004, 0.5, 0.712, 0.9999, 1.0])
def test_a_bar_a_number_and_words_tell_the_same_share(probability):
    """The bar has as many tenths as the percent say, and words stand beside it."""
    row = ASKING.ranking[0]._replace(probability=probability, title="Leak")
    line = next(line for line in shown(question_page(ASKING._replace(ranking=(row,))), 80, 40) if " 1 Leak: " in line)
    percent = int(line.split("%")[0])
    assert line.count(MARKS.full) == round(10 * probability)
    assert line.count(MARKS.full) + line.count(MARKS.empty) == 10
    assert abs(percent - 100 * probability) <= 1
    assert (percent == 0) == (probability == 0)
    assert (percent == 100) == (probability == 1)


def test_bars_say_how_far_they_moved_with_the_latest_answer():
    """A row that rose or fell says by how many percent; one that stayed says nothing."""
    before = {"cooling-jacket-leak": 0.45, "thrust-failing": 0.30, "": 0.078}
    lines = shown(question_page(before=before), 120, 40)
    text = " ".join(" ".join(line.split()) for line in lines)
    assert "likely, up 26" in text
    assert "unlikely, down 9, dangerous if so" in text
    assert not any("very unlikely, " in line for line in lines)


def test_the_leading_cause_shows_its_reason_without_being_asked():
    """The weightiest answer for and against the first cause stands under it."""
    text = " ".join(" ".join(line.split()) for line in shown(question_page(), 80, 40))
    assert "bearing oil look milky: strongly for (+14); oiler level falling: slightly against (-3)" in text


def test_trouble_and_notice_are_told_apart_by_words():
    """A complaint begins with what it is."""
    assert "Not taken: No number." in shown(question_page(trouble="No number."))
    assert "Noted: milky." in shown(question_page(notice="Noted: milky."))


def test_without_unicode_a_screen_is_ascii_only():
    """Bars and pointer are drawn with ASCII signs."""
    assert all(line.isascii() for line in shown(question_page(), marks=marks_for("ascii"), chosen=1))
    assert any("#######..." in line for line in shown(question_page(), 80, 40, marks_for("ascii")))


@pytest.mark.parametrize("evil", ["\x1b[2J", "\x9b31m", "\u202e", "\r", "\x07", "\u2066"])
def test_hostile_text_from_rules_cannot_reach_the_screen(evil):
    """Escape sequences, control characters and bidirectional marks are shown, not obeyed, on every page."""
    session = PretendSession(title=f"Pump{evil}turbine")
    dialogue = Dialogue(session)
    for typed in ("2", "2", "c", "b", "o"):
        dialogue.take(typed)
        assert all(line.isprintable() for line in shown(dialogue.page()))
    assert "Pump" in shown(dialogue.page())[0]


def test_every_rank_word_is_on_the_screen_and_not_only_its_colour():
    """The looks of cautions could all be the same and the ranks would still be told apart."""
    screen = compose(question_page(ASKING._replace(cautions=(STOP, CALL, WATCH))), 80, 24, MARKS)
    for style, rank in (
        (Style.STOP_NOW, "STOP NOW"),
        (Style.CALL_SUPERVISOR, "CALL THE SUPERVISOR"),
        (Style.WATCH, "WATCH"),
    ):
        assert any(text.startswith(rank) for line in screen.lines for looks, text in line if looks is style)
