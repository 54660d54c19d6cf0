"""What is offered to do about a cause and how a choice is marked."""

from diagnose.training.handling import Offer, judge, offers
from diagnose.training.open_case import walk

STOP = Offer("Stop it.", "operator", 0)
READ = Offer("Read the gauge.", "operator", 1)
FILL = Offer("Fill the bottle.", "operator", 2)
OPEN = Offer("Renew the seal.", "maintenance", 2)
OTHER = Offer("Clean the strainer.", "operator", -1)
ALL = (OTHER, FILL, OPEN, STOP, READ)


def chosen(*rows, tell="both"):
    """Mark these choices in their order."""
    return judge(ALL, [ALL.index(row) for row in rows], tell, call=True)


def test_all_that_is_ones_own_in_order_is_full():
    """Caution first, then signs, then cure, and both told: the whole mark."""
    assert chosen(STOP, READ, FILL).mark == 1.0


def test_the_wrong_order_costs():
    """The same choices backwards earn less, and the order share is nothing."""
    assert chosen(FILL, READ, STOP).in_order == 0.0
    assert chosen(FILL, READ, STOP).mark < chosen(STOP, READ, FILL).mark


def test_somebody_elses_work_is_forbidden():
    """Choosing what maintenance does is told apart from what is merely useless."""
    done = chosen(STOP, OPEN, OTHER)
    assert done.forbidden == ("Renew the seal.",)
    assert done.useless == ("Clean the strainer.",)


def test_omissions_are_named():
    """What was the operator's and was not chosen is listed."""
    assert chosen(STOP).omitted == ("Fill the bottle.", "Read the gauge.")


def test_telling_nobody_costs():
    """Whom to tell counts a quarter of this mark."""
    assert chosen(STOP, READ, FILL, tell="nobody").mark == 0.75


def test_the_same_seed_offers_the_same_list(oil_case, knowledge):
    """Offers are shuffled alike for one seed and hold something of the true cause and something else."""
    walked = walk(oil_case, knowledge, 4)
    first = offers(walked, "seed")
    assert first == offers(walked, "seed")
    assert {True, False} == {one.stage >= 0 for one in first}


def test_nothing_offered_is_invented(oil_case, knowledge):
    """Every offer is an action or a caution's advice that the rules hold."""
    held = {one.do for cause in knowledge.causes.values() for one in cause.put_right}
    held |= {one.do for rule in knowledge.rules.values() for one in rule.actions}
    held |= {caution.do for caution in knowledge.cautions.values()}
    assert {one.do for one in offers(walk(oil_case, knowledge, 4), "seed")} <= held
