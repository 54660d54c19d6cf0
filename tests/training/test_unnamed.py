"""A machine without names, and cases written out with it."""

import pytest

from diagnose.consultation.events import Answer, Answered, Started
from diagnose.knowledge import library
from diagnose.reasoning.situation import Said, Situation
from diagnose.training.case_text import case_from_consultation, yaml_text
from diagnose.training.unnamed import unnamed

SECRET = "Zorbley"  # stands for any name of a person, place or machine


def hostile(machine):
    """Return the machine with the secret in everything that a person writes freely."""
    words = {name: f"{SECRET} says {text}" for name, text in machine.normal_words.items()}
    return machine._replace(
        id=f"{SECRET}-1",
        title=f"{SECRET} pump house turbine",
        drives_kind=f"{SECRET} centrifugal pump",
        drives_service=SECRET,
        normal_words=words,
        shares={key: f"{SECRET} {name}" for key, name in machine.shares.items()},
        procedures={name: f"{SECRET}-{number}" for name, number in machine.procedures.items()},
        place=machine.place._replace(file=f"/home/{SECRET}/site/machines/x.yaml"),
    )


def consulted(machine):
    """Return the events of a consultation with free words typed, one answer a number, one about another machine."""
    return [
        Started(machine.id, "loaded", "r"),
        Answered("bearing-oil-look", Answer(value="milky", typed=f"{SECRET} saw milky oil"), asked=False),
        Answered("exhaust-pressure", Answer(number=2.65, typed=f"2.65 by {SECRET}"), asked=True),
        Answered("oiler-bottle", Answer(cannot_tell=True, typed=SECRET), asked=True),
        Answered("bearing-oil-look", Answer(value="milky", typed=SECRET), asked=True, machine=f"{SECRET}-2"),
    ]


@pytest.fixture
def written(knowledge):
    """Return the case of that consultation, and its text."""
    machine = hostile(knowledge.site.machines["BFP-2"])
    case = case_from_consultation(
        "closed-job-1", consulted(machine), machine, frozenset(["carbon-rings-worn"]), knowledge, frozenset()
    )
    return case, yaml_text([case])


def test_no_name_stands_in_the_case(written):
    """Neither in its file nor in the case itself."""
    case, text = written
    assert SECRET not in text
    assert SECRET not in repr(case)


def test_only_what_was_told_stands_in_it(written):
    """What could not be told is left out: everything unlisted is unknown."""
    case, _ = written
    assert dict(case.reported) == {"bearing-oil-look": "milky"}
    assert dict(case.answers) == {"exhaust-pressure": "2.65 bar gauge"}
    assert case.unlisted == "unknown"


def test_the_file_is_read_back_as_the_same_case(written, knowledge, tmp_path):
    """Loaded, it is the same case on the same machine but for places; every number to the last bit."""
    case, text = written
    (tmp_path / "case.yaml").write_text(text, encoding="utf-8")
    (read,), problems = library.load_cases([tmp_path], knowledge)
    assert problems == ()
    place = case.place
    assert read._replace(place=place, profile=read.profile._replace(place=case.profile.place)) == case


@pytest.mark.parametrize("name", ["BFP-2", "CP-4", "AC-1", "FDF-1", "LOP-1"])
def test_the_neutral_machine_reasons_as_the_real_one(knowledge, name):
    """With the same answers both give the same ranking and cautions."""
    machine = knowledge.site.machines[name]
    said = [Said("bearing-oil-look", "milky", volunteered=True), Said("exhaust-pressure", number=2.65)]
    real, neutral = (Situation(knowledge, one, "loaded", said) for one in (machine, unnamed(machine, knowledge)))
    assert neutral.ranking() == real.ranking()
    assert neutral.cautions() == real.cautions()
    assert [one.id for one in knowledge.findings.values() if neutral.askable(one)] == [
        one.id for one in knowledge.findings.values() if real.askable(one)
    ]
