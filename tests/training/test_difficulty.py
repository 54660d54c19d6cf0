"""How hard a case is, by how long the evidence keeps the true causes hidden."""

from math import log2

import pytest

from diagnose.reasoning.situation import Said, Situation
from diagnose.training.difficulty import measure
from diagnose.training.open_case import OpenCase, walk


def test_the_measure_is_the_mean_surprise_along_the_path(oil_case, knowledge):
    """Reckoned by hand from the shares: report and checks, the last one standing for the rest of ten."""
    walked = walk(oil_case, knowledge, 8)
    (truth,) = oil_case.true_causes
    shares = [walked.first_shares[truth], *(look.shares[truth] for look in walked.looks)]
    shares += [shares[-1]] * (11 - len(shares))
    assert measure(walked).hidden == pytest.approx(sum(-log2(share) for share in shares) / 11)


def test_a_case_is_harder_when_its_causes_show_less(oil_case, knowledge):
    """The same report with the telling answer taken away hides the cause longer."""
    silent = oil_case._replace(answers={})
    assert measure(walk(silent, knowledge, 8)).hidden > measure(walk(oil_case, knowledge, 8)).hidden


def test_a_second_fault_is_as_hidden_as_the_less_likely_of_both(oil_case, knowledge):
    """With another cause beside it, the measure is that of the worse one."""
    both = oil_case._replace(true_causes=oil_case.true_causes | {"cooling-jacket-leak"})
    assert measure(walk(both, knowledge, 8)).faults == 2
    assert measure(walk(both, knowledge, 8)).hidden > measure(walk(oil_case, knowledge, 8)).hidden


def test_a_situation_used_again_is_as_a_new_one(cases, knowledge):
    """After other answers were said and taken back, a case opened in the same situation is the same to the last bit."""
    case = cases["course-wet-line"]
    fresh = OpenCase(case, knowledge)
    used = Situation(knowledge, fresh.machine, case.phase, [Said("bearing-oil-look", "milky")])
    used.say(Said("gland-leak", "blowing-one-end"))
    again = OpenCase(case, knowledge, None, used)
    for opened in (fresh, again):
        for _ in range(4):
            opened.look(opened.best().finding)
    assert [look.finding for look in fresh.looks] == [look.finding for look in again.looks]
    assert fresh.situation.ranking() == again.situation.ranking()
    assert fresh.situation.cautions() == again.situation.cautions()
