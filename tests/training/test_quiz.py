"""One case put to a trainee, kept as events."""

import json
from math import log2

import pytest

from diagnose.training.attempt import Begun, Looked, event_from, event_record, fold
from diagnose.training.debrief import debrief
from diagnose.training.debrief_wording import debrief_lines
from diagnose.training.mark_wording import mark_lines
from diagnose.training.puzzles import first_action
from diagnose.training.quiz import OpenQuiz, PuzzleQuiz
from diagnose.training.wording import case_lines, puzzle_lines, source_words
from diagnose.values.problem import DiagnoseError


def run(case, knowledge, kept):
    """Do a case well and return the quiz."""
    begun = Begun("open", "shipped", case.id, seed="1")
    kept.append(begun)
    quiz = OpenQuiz(case, knowledge, [begun], kept.append)
    quiz.act("hold")
    quiz.look("oiler-bottle")
    quiz.hint()
    quiz.ready()
    quiz.state({next(iter(case.true_causes)): 0.9})
    mine = [at for at, one in enumerate(quiz.offers) if one.who == "operator" and one.stage >= 0]
    quiz.decide(sorted(mine, key=lambda at: quiz.offers[at].stage), "both")
    return quiz


def test_a_case_done_well_passes(oil_case, knowledge):
    """Held at once, the telling check, the right cause, one's own tasks in order: safe and passed, a hint taken off."""
    quiz = run(oil_case, knowledge, [])
    assert quiz.marks.safety.mark == 1.0
    assert quiz.marks.unsafe == ""
    assert quiz.marks.total > 80.0
    assert quiz.marks.hints == 1


@pytest.mark.parametrize("cut", range(1, 8))
def test_an_interrupted_case_goes_on_from_any_event(oil_case, knowledge, cut):
    """From the records of any part of its events a quiz resumes at the same stage, and the whole has the same marks."""
    kept = []
    whole = run(oil_case, knowledge, kept)
    records = json.loads(json.dumps([event_record(one) for one in kept]))
    again = [event_from(one) for one in records]
    assert fold(again[:cut]).stage == fold(kept[:cut]).stage
    assert OpenQuiz(oil_case, knowledge, again).marks.total == pytest.approx(whole.marks.total)


@pytest.mark.parametrize("kind", ["open", "closed"])
def test_what_was_all_said_before_a_kill_is_marked_when_taken_up_again(oil_case, knowledge, kind):
    """With the last answer kept and its mark not, going on keeps the mark; doing it again keeps no second."""
    kept = []
    if kind == "open":
        run(oil_case, knowledge, kept)
    else:
        puzzle = first_action(oil_case, knowledge, "x")
        kept.append(Begun("first-action", "shipped", oil_case.id))
        PuzzleQuiz(puzzle, list(kept), kept.append).choose([0])

    def again(happened, keep):
        if kind == "open":
            OpenQuiz(oil_case, knowledge, happened, keep)
        else:
            PuzzleQuiz(puzzle, happened, keep)

    cut, more, none = kept[:-1], [], []
    again(cut, more.append)
    assert more == kept[-1:]
    again([*cut, *more], none.append)
    assert none == []


def test_events_are_kept_before_anything_is_shown(oil_case, knowledge):
    """When keeping fails the look is not made."""

    def fail(_):
        raise OSError("full")

    quiz = OpenQuiz(oil_case, knowledge, [Begun("open", "shipped", oil_case.id)], fail)
    with pytest.raises(OSError, match="full"):
        quiz.look("oiler-bottle")
    assert quiz.opened.looks == []


def test_doing_somebody_elses_work_voids_the_case(oil_case, knowledge):
    """With a task of maintenance done oneself the mark is 0 and says why."""
    quiz = OpenQuiz(oil_case, knowledge, [Begun("open", "shipped", oil_case.id)])
    quiz.act("hold")
    quiz.ready()
    quiz.state({next(iter(oil_case.true_causes)): 1.0})
    others = [at for at, one in enumerate(quiz.offers) if one.who == "maintenance"]
    quiz.decide(others, "both")
    assert (quiz.marks.total, quiz.marks.unsafe) == (0.0, "not-yours")


def test_nothing_shown_before_the_end_tells_the_answer(cases, knowledge):
    """The lines of a case hold neither its id, its title, its causes nor its teaching note."""
    for name in ("course-oil-low-before-the-start", "course-wet-line", "course-creeping-after-the-stop"):
        case = cases[name]
        quiz = OpenQuiz(case, knowledge, [Begun("open", "shipped", case.id)])
        shown = " ".join(case_lines(case, knowledge, quiz.opened.known, 0.0))
        telling = [case.id, case.title, case.teaches, *(knowledge.causes[one].title for one in case.true_causes)]
        assert [text for text in telling if text in shown] == []


def test_a_closed_question_tells_no_answer(oil_case, knowledge):
    """Its lines name no caution and no cause."""
    shown = " ".join(puzzle_lines(first_action(oil_case, knowledge, "x"), knowledge))
    told = [caution.say for caution in knowledge.cautions.values()]
    told += [cause.title for cause in knowledge.causes.values()]
    assert [text for text in told if text in shown] == []


def test_marks_are_explained_and_the_debrief_names_what_to_read(oil_case, knowledge):
    """Each check has its sentence, both paths are told, and a rule with its place and a source are named."""
    quiz = run(oil_case, knowledge, [])
    marks = list(mark_lines(quiz))
    assert any(line.startswith("Check 1, oiler bottle:") for line in marks)
    told = list(debrief_lines(debrief(quiz), knowledge))
    assert any("To read: rule " in line and ".yaml:" in line for line in told)
    assert any(" you, oiler bottle" in line for line in told)
    assert any(" program, " in line for line in told)
    assert f"What it teaches: {oil_case.teaches}" in told


def test_what_checks_told_adds_up(cases, knowledge):
    """On either path the bits told sum to the logarithm of the last share over the first."""
    case = cases["course-wet-line"]
    quiz = OpenQuiz(case, knowledge, [Begun("open", "shipped", case.id)])
    for _ in range(5):
        quiz.look(quiz.left[0].id)
    told = debrief(quiz)
    for steps in (told.trainee, told.program):
        assert sum(one.told for one in steps) == pytest.approx(log2(steps[-1].share / told.first))
        assert steps[-1].ended == pytest.approx(sum(one.choice.minutes for one in steps))
    assert told.telling.told == max(one.told for one in (*told.trainee, *told.program))
    assert told.decoy[0] not in case.true_causes


def test_a_made_case_teaches_by_what_its_cause_leads_to(oil_case, knowledge):
    """Without a note of its own a case tells what happens when the cause is left."""
    quiz = run(oil_case._replace(teaches=""), knowledge, [])
    told = " ".join(debrief_lines(debrief(quiz), knowledge))
    assert knowledge.causes["bearing-oil-low"].if_left in told


def test_a_look_that_the_rules_no_longer_know_is_said(oil_case, knowledge):
    """A case left under other rules whose finding is gone ends in one line."""
    happened = [Begun("open", "shipped", oil_case.id), Looked("no-such-finding")]
    with pytest.raises(DiagnoseError, match="no-such-finding"):
        OpenQuiz(oil_case, knowledge, happened)


def test_wrong_use_is_one_line(oil_case, knowledge):
    """Looking twice, naming nothing and choosing what is not there are refused."""
    quiz = OpenQuiz(oil_case, knowledge, [Begun("open", "shipped", oil_case.id)])
    quiz.look("oiler-bottle")
    with pytest.raises(DiagnoseError, match="known already"):
        quiz.look("oiler-bottle")
    with pytest.raises(DiagnoseError, match="one to 3"):
        quiz.state({})
    closed = PuzzleQuiz(first_action(oil_case, knowledge, "x"), [Begun("first-action", "shipped", oil_case.id)])
    with pytest.raises(DiagnoseError, match="Choose one"):
        closed.choose([9])


def test_a_source_is_spelt_out_with_its_clause(knowledge):
    """A registered short name becomes its title and keeps the clause; other texts stay as they are."""
    name, title = next(iter(knowledge.sources.items()))
    assert source_words(f"{name}, chapter 1", knowledge) == f"{title}, chapter 1"
    assert source_words("common practice", knowledge) == "common practice"
