"""Simulated trainees: each looks into a case in its own way and is marked as a person would be."""

from itertools import product
from math import exp, log
from random import Random

from diagnose.belief import Belief, Network, Table, firm
from diagnose.consultation.next_question import caution_signs
from diagnose.reasoning.situation import Situation
from diagnose.training import handling, safety
from diagnose.training.marking import mark
from diagnose.training.open_case import OpenCase
from diagnose.training.safety import Act
from diagnose.training.told import node_of

BUDGET = 10
NAMES = 3


def expert(case, knowledge, random, own_minutes):
    """Look where the beliefs say, stop when it is settled, heed every caution, state what is believed."""
    opened, acts = _begin(case, knowledge)
    while len(opened.looks) < BUDGET and not opened.settled and (candidate := opened.best()):
        _look(opened, candidate.finding, acts)
    return _end(opened, acts, dict(opened.situation.ranking()), own_minutes)


def fixed_order(case, knowledge, random, own_minutes, most=6):
    """Go down one and the same list, whatever the symptom and whatever it shows; judge what was seen rightly."""
    opened, acts = _begin(case, knowledge)
    for finding in opened.left()[:most]:
        _look(opened, finding.id, acts)
    return _end(opened, acts, dict(opened.situation.ranking()), own_minutes)


def own_order(case, knowledge, random, own_minutes, most=6):
    """Go round in an order of one's own, two checks of a subsystem at a time; judge what was seen rightly."""
    opened, acts = _begin(case, knowledge)
    groups = {}
    for finding in opened.left():
        groups.setdefault(finding.subsystem, []).append(finding.id)
    order = random.sample(sorted(groups), len(groups))
    wanted = [name for group in order for name in random.sample(groups[group], min(2, len(groups[group])))]
    for name in wanted[:most]:
        if name in {one.id for one in opened.left()}:
            _look(opened, name, acts)
    return _end(opened, acts, dict(opened.situation.ranking()), own_minutes)


def novice(case, knowledge, random, own_minutes, spread=1.4, most=BUDGET):
    """Ask and judge by frequencies that are wrong; heed every caution."""
    opened, acts = _begin(case, knowledge)
    belief = Belief(_distorted(opened.situation.belief.network, random, spread))
    _take_in(belief, opened)
    while len(opened.looks) < most:
        gains = {node: bits for node, bits in belief.gains().items() if bits > 0.05}
        askable = {node_of(one): one.id for one in reversed(opened.left())}
        nodes = [node for node in gains if node in askable]
        if not nodes or max(belief.marginals().values()) > 0.9:
            break
        _look(opened, askable[max(nodes, key=gains.__getitem__)], acts)
        _take_in(belief, opened)
    return _end(opened, acts, {**belief.marginals(), "": belief.not_listed}, own_minutes)


def at_random(case, knowledge, random, own_minutes):
    """Look anywhere, do anything, name any cause with any certainty."""
    opened = _opened(case, knowledge)
    acts = [Act(random.choice(safety.LADDER), 0)]
    for _ in range(4):
        opened.look(random.choice(opened.left()).id)
    stated = {random.choice(sorted(opened.situation.causes)): random.random()}
    offered = handling.offers(opened, case.id)
    own = random.sample(range(len(offered)), min(2, len(offered)))
    return mark(opened, acts, stated, (offered, own, random.choice(handling.TELL)), own_minutes)


def reckless(case, knowledge, random, own_minutes):
    """Know where to look, heed no caution, be sure at once, and do all the work oneself."""
    opened = _opened(case, knowledge)
    for _ in range(2):
        if candidate := opened.best():
            opened.look(candidate.finding)
    leader = next((cause for cause, _ in opened.situation.ranking() if cause), "")
    offered = handling.offers(opened, case.id)
    own = [at for at, one in enumerate(offered) if one.stage >= 0]
    return mark(opened, [], {leader: 1.0}, (offered, own, "nobody"), own_minutes)


TRAINEES = {
    "expert": expert,
    "novice": novice,
    "fixed order": fixed_order,
    "random": at_random,
    "reckless": reckless,
}


def panel(case, knowledge, seed, own_minutes):
    """Return the marks (whole) of many trainees of each honest kind, by kind.

    Novices differ in how wrong their frequencies are and in their patience, those with a list in its order and length.
    """
    mates = {"expert": [expert(case, knowledge, None, own_minutes)], "fixed order": [], "novice": []}
    for number, most in enumerate((4, 6, 8, 4, 6, 8)):
        mates["fixed order"].append(own_order(case, knowledge, Random(f"{seed} list {number}"), own_minutes, most))
    for number, (spread, most) in enumerate(product((0.7, 1.4, 2.1), (4, 4, BUDGET, BUDGET))):
        random = Random(f"{seed} novice {number}")
        mates["novice"].append(novice(case, knowledge, random, own_minutes, spread, most))
    return {kind: [one.total for one in marks] for kind, marks in mates.items()}


_SITUATIONS = {}


def _opened(case, knowledge):
    """Return the case with nothing looked at; trainees come one after another and use one situation."""
    key = case.machine, case.phase
    if key not in _SITUATIONS:
        _SITUATIONS[key] = Situation(knowledge, knowledge.site.machines[case.machine], case.phase)
    return OpenCase(case, knowledge, caution_signs(knowledge), _SITUATIONS[key])


def _begin(case, knowledge):
    opened = _opened(case, knowledge)
    step = safety.step_for(knowledge.cautions[name].rank for name in opened.first_cautions)
    return opened, [Act(step, 0)]


def _look(opened, finding, acts):
    look = opened.look(finding)
    step = safety.step_for(opened.knowledge.cautions[name].rank for name in look.cautions)
    acts.append(Act(step, len(opened.looks)))


def _end(opened, acts, beliefs, own_minutes):
    """State the leading beliefs, do what he thinks is his for them, tell both."""
    leading = sorted(beliefs, key=lambda cause: -beliefs[cause])[:NAMES]
    stated = {cause: beliefs[cause] for cause in leading if beliefs[cause] >= 0.05}
    offered = handling.offers(opened, opened.case.id)
    causes = opened.knowledge.causes
    believed = {one.do for name in leading[:1] if name for one in causes[name].put_right}
    believed |= {one.do for rule in opened.situation.applying() for one in rule.actions}
    believed |= {opened.knowledge.cautions[name].do for name in opened.situation.cautions()}
    own = [at for at, one in enumerate(offered) if one.do in believed and one.who == "operator"]
    own.sort(key=lambda at: offered[at].stage % 3)
    return mark(opened, acts, stated, (offered, own, "both"), own_minutes)


def _take_in(belief, opened):
    for node, table in belief.network.findings.items():
        values = opened.situation.values(node)
        if node not in belief.answers and len(values) == 1 and set(values) <= set(table.values):
            belief.answer(node, firm(table, next(iter(values))))


def _distorted(network, random, spread):
    """Return the network as somebody without experience has it.

    Each frequency is off by ``spread`` in log odds (1.4 is about one word of the scale), each how-common by a factor
    of about 2.7.
    """
    findings = {}
    for name, table in network.findings.items():
        links = {link: _off(p, random, spread) for link, p in table.links.items()}
        findings[name] = Table(table.values, table.leak, links, table.error)
    odds = {cause: each * exp(random.gauss(0.0, 1.0)) for cause, each in network.causes.items()}
    return Network(odds, findings, not_listed=network.not_listed)


def _off(p, random, spread):
    logit = log(p / (1 - p)) + random.gauss(0.0, spread)
    return min(max(1 / (1 + exp(-logit)), 0.01), 0.99)
