"""Cases drawn from the rules."""

import pytest

from diagnose.consultation.replay import replay
from diagnose.knowledge import library
from diagnose.training import difficulty, generate
from diagnose.training.case_text import yaml_text
from diagnose.training.generate import BUDGET, Wish, make
from diagnose.training.open_case import walk
from diagnose.values.problem import DiagnoseError


@pytest.fixture(scope="module")
def made(knowledge):
    """Return a case of each difficulty, and a second easy one."""
    return {name: list(make(knowledge, Wish(name), 77, 2 if name == "easy" else 1)) for name in BUDGET}


def test_the_consultation_solves_every_made_case(made, knowledge):
    """Replayed within the stated budget, the true causes come first and the cautions are raised."""
    outcomes = [replay(one.case, knowledge, BUDGET[name]) for name, rows in made.items() for one in rows]
    assert [one.complaints for one in outcomes] == [()] * len(outcomes)


def test_a_made_case_does_not_contradict_itself(made, knowledge):
    """All that a made case answers stands together without a contradiction."""
    for one in (one for rows in made.values() for one in rows):
        opened = walk(one.case, knowledge, 0)
        for finding in [name for name in one.case.answers if name in {each.id for each in opened.left()}]:
            opened.look(finding)
        assert opened.situation.contradictions() == {}


def test_the_measured_difficulty_is_the_wanted_one(made, knowledge):
    """Measured again, each case falls into the band it was wished for."""
    for name, rows in made.items():
        bands = [difficulty.band(difficulty.measure(walk(one.case, knowledge, BUDGET[name]))) for one in rows]
        assert bands == [name] * len(rows)


def test_the_same_seed_gives_the_same_case_and_another_another(made, knowledge):
    """Case 2 made alone is case 2 of the row; with another seed it differs."""
    alone = next(make(knowledge, Wish("easy"), 77, 2, after=1)).case
    other = next(make(knowledge, Wish("easy"), 78, 2, after=1)).case
    assert alone == made["easy"][1].case
    assert other.answers != alone.answers or other.true_causes != alone.true_causes


def test_a_wish_is_kept(knowledge):
    """Machine, phase and subsystem are those wished for."""
    case = next(make(knowledge, Wish("easy", "BFP-2", "loaded", "lubrication"), 3, 1)).case
    assert (case.machine, case.phase) == ("BFP-2", "loaded")
    assert {knowledge.causes[name].subsystem for name in case.true_causes} == {"lubrication"}


def test_a_wish_that_nothing_meets_is_said(knowledge, monkeypatch):
    """What cannot be drawn ends in one line, not in a search without end."""
    monkeypatch.setattr(generate, "_TRIES", 3)
    with pytest.raises(DiagnoseError, match="came up in 3 draws"):
        next(make(knowledge, Wish("easy", subsystem="no such thing"), 5, 1))


def test_made_cases_are_read_back_as_they_were(made, knowledge, tmp_path):
    """Written as YAML and loaded, a made case is the same but for its place."""
    cases = [one.case for rows in made.values() for one in rows]
    named = [case._replace(id=f"{case.id}-{at}") for at, case in enumerate(cases)]
    (tmp_path / "made.yaml").write_text(yaml_text(named), encoding="utf-8")
    read, problems = library.load_cases([tmp_path], knowledge)
    assert problems == ()
    assert [one._replace(place=None) for one in read] == [one._replace(place=None) for one in named]
