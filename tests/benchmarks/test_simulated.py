"""The simulation behind the figures: the same as whole consultations, true to what the rules believe, repeatable."""

from collections import Counter
from itertools import islice
from random import Random

import pytest
from reliability_picture import Panel, svg
from simulated import WORLDS, Context, Operator, World, ask_everything, consult, contexts_of

from diagnose.belief.scoring import reliability
from diagnose.consultation import events
from diagnose.consultation.next_question import candidates, decided
from diagnose.consultation.session import Session

PLACES = (("BFP-2", "loaded"), ("CP-4", "run-up"), ("FDF-1", "standby"))


@pytest.fixture(scope="module")
def drawn():
    """Give (context, case, operator) of a case, standing where the complaint has been made."""

    def draw(place, number, world=WORLDS["as believed"]):
        context = Context.of(*place)
        case = context.case(number, Random(f"7 {number}"), world)
        return context, case, Operator(context, case, world, seed=7)

    return draw


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("number", range(4))
def test_a_whole_session_asks_and_believes_the_same(drawn, place, number):
    """The desk puts the questions that a session puts, and ends with its very percentages."""
    context, case, operator = drawn(place, number)
    asked = [candidate.finding for candidate in islice(consult(context, operator), 8)]
    ranking = dict(context.desk.ranking())
    answers = context.desk.said
    session = Session(context.knowledge, context.desk.machine, context.desk.phase)
    view = session.do(events.Report(case.said.finding, events.Answer(value=case.said.value)))
    put = []
    while len(put) < 8:
        if view.standing == "stop-caution":
            view = session.do(events.GoOn())
        if view.question is None or session.decided:
            break
        name = view.question.finding
        put.append(name)
        told = answers.get(name)
        view = session.do(events.Report(name, events.Answer(value=told.value)) if told else events.CannotTell(name))
    assert put == asked
    assert dict(session.ranking) == pytest.approx(ranking, abs=1e-9)


def test_the_desk_forgets_the_case_before(drawn):
    """A case on a used desk comes out as on a fresh one."""
    context, _, operator = drawn(PLACES[0], 1)
    first = [candidate.finding for candidate in islice(consult(context, operator), 5)], context.desk.ranking()
    context, _, operator = drawn(PLACES[0], 2)
    ask_everything(context, operator)
    context, _, operator = drawn(PLACES[0], 1)
    again = [candidate.finding for candidate in islice(consult(context, operator), 5)], context.desk.ranking()
    assert again == first


def test_causes_come_as_the_beliefs_after_the_complaint_say(drawn):
    """Causes drawn until one shows the complaint are spread as the program's own posterior, which is not used."""
    context, _, _ = drawn(PLACES[0], 3)
    believed = dict(context.desk.ranking())
    random, many = Random(5), 4000
    counted = Counter()
    for _ in range(many):
        counted.update(context._causes_that_show(random, World()) or {""})
    for cause, share in believed.items():
        spread = (share * (1.0 - share) / many) ** 0.5
        assert abs(counted[cause] / many - share) <= 4.5 * spread + 1e-3, cause


def test_two_ways_of_asking_meet_the_same_truth(drawn):
    """What a question shows does not depend on when it is put, while the same rules are in force."""
    context, _, operator = drawn(PLACES[0], 4)
    tables = context.desk.belief.network.findings
    names = [name for name in tables if context.put(name)]
    forwards = {name: operator.heard(name, tables[name]) for name in names}
    backwards = {name: operator.heard(name, tables[name]) for name in reversed(names)}
    assert forwards == backwards


def test_rates_of_a_differing_world_are_met(drawn):
    """Where nobody can ever tell, nothing is learnt; where every answer is wrong, none is what truly is."""
    context, case, operator = drawn(PLACES[0], 5, World(silent=1.0))
    before = context.desk.ranking()
    assert len(list(islice(consult(context, operator), 8))) > 0
    assert context.desk.ranking() == before
    table = context.desk.belief.network.findings["exhaust-pressure-level"]
    right = Operator(context, case, World(wrong=0.0)).heard("exhaust-pressure-level", table)
    assert Operator(context, case, World(wrong=1.0)).heard("exhaust-pressure-level", table) != right


@pytest.mark.parametrize("world", WORLDS)
def test_every_world_gives_cases_with_a_complaint(drawn, world):
    """In each world a case can be drawn, begins with something abnormal, and can be asked about."""
    context, case, operator = drawn(PLACES[1], 8, WORLDS[world])
    assert case.said.volunteered
    assert case.value != context.findings[case.node].normal
    assert case.said.finding in context.desk.said
    assert not (case.causes and "not listed" in world)
    assert list(islice(consult(context, operator), 2)) or decided(context.desk.belief, None)


def test_words_off_are_other_words_of_the_scale_and_about_half_of_them():
    """Half of the links keep their word, the others have the next one; what a table holds besides stays."""
    context = Context.of(*PLACES[0])
    tables, words = context.network.findings, set(context.knowledge.scales.frequency.values())
    pairs = [
        (p, shifted.links[link])
        for node, table in tables.items()
        for shifted in [WORLDS["words off"].tables(node, table)]
        for link, p in table.links.items()
    ]
    assert {new for _, new in pairs} <= words
    assert 0.35 <= sum(old != new for old, new in pairs) / len(pairs) <= 0.55


def test_asking_everything_leaves_nothing_open(drawn):
    """After asking everything no question is left that could be put."""
    context, _, operator = drawn(PLACES[1], 6)
    asked = ask_everything(context, operator)
    open_now = [one for one in candidates(context.desk, (), frozenset(context.desk.said)) if operator.says(one)]
    assert asked > 50
    assert open_now == []


def test_cases_are_shared_out_by_the_seed_alone():
    """Every number falls to one machine and phase, and to the same one in every run."""
    shared = contexts_of(Context.of(*PLACES[0]).knowledge, 3, range(200))
    assert sorted(number for many in shared.values() for number in many) == list(range(200))
    assert shared == contexts_of(Context.of(*PLACES[0]).knowledge, 3, range(200))


def test_the_picture_has_a_point_for_each_bin_and_its_title_is_harmless():
    """Each bin of a panel is one point, as high as its forecasts came true; marks in a title are escaped."""
    bins = tuple(reliability([0.1, 0.2, 0.9], [False, True, True], [0.0, 0.5, 1.0]))
    picture = svg([Panel("rows <first>", 0.1, 0.05, bins)])
    assert picture.count("<circle") == len(bins) == 2
    assert "rows &lt;first&gt;" in picture
    assert 'cy="160.0"' in picture  # one of the two below one half came true
