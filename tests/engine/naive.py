"""What rules mean, said in the plainest way and as slowly: the oracle of the property tests.

A set of facts is right if it is exactly what the rules give, from what is told, when every absence is judged in that set itself.
For rules that settle there is one such set.
"""

from __future__ import annotations

from diagnose.engine import AllOf, AnyOf, Count, CountDistinct, Fact, Guard, Match, Not, Test, Unknown, Var


def consequences(rules, told, believed):
    """Return all that follows from what is told, with absences judged in what is believed."""
    facts = set(told)
    while True:
        new = {
            Fact(*(binding[part.name] if isinstance(part, Var) else part for part in head))
            for rule in rules
            for binding in ways(rule.when, {}, facts, believed)
            for head in rule.then
        }
        if new <= facts:
            return facts
        facts |= new


def ways(conditions, binding, present, believed):
    """Yield the bindings with which the conditions hold: presence looked up in one set, absence in the other."""
    conditions = sorted(conditions, key=_when_to_look)
    if not conditions:
        yield binding
        return
    first, rest = conditions[0], conditions[1:]
    if isinstance(first, AllOf):
        yield from ways([*first.conditions, *rest], binding, present, believed)
        return
    for wider in _ways_of_one(first, binding, present, believed):
        yield from ways(rest, wider, present, believed)


def _when_to_look(condition):
    return [AllOf, Match, AnyOf, Guard, Not, Unknown, Count, CountDistinct].index(type(condition))


def _ways_of_one(condition, binding, present, believed):
    if isinstance(condition, Match):
        for fact in present:
            wider = dict(binding)
            if fact.attribute == condition.attribute and all(
                _fits(part, thing, wider)
                for part, thing in ((condition.entity, fact.entity), (condition.value, fact.value))
            ):
                yield wider
    elif isinstance(condition, AnyOf):
        shown = set.intersection(*(_bound_by(each) for each in condition.conditions))
        for each in condition.conditions:
            for wider in ways([each], binding, present, believed):
                yield {name: thing for name, thing in wider.items() if name in binding or name in shown}
    elif _holds(condition, binding, present, believed):
        yield binding


def _bound_by(condition):
    if isinstance(condition, Match):
        return {part.name for part in (condition.entity, condition.value) if isinstance(part, Var)}
    if isinstance(condition, AllOf):
        return {name for each in condition.conditions for name in _bound_by(each)}
    if isinstance(condition, AnyOf):
        return set.intersection(*(_bound_by(each) for each in condition.conditions))
    return set()


def _fits(part, thing, binding):
    if isinstance(part, Test):
        return part.passes(thing)
    if isinstance(part, Var):
        return binding.setdefault(part.name, thing) == thing
    return part == thing


def _holds(condition, binding, present, believed):
    if isinstance(condition, Guard):
        sides = [binding[side.name] if isinstance(side, Var) else side for side in (condition.left, condition.right)]
        return condition.holds(*sides)
    if isinstance(condition, Not):
        return not any(True for _ in ways(condition.conditions, binding, believed, believed))
    if isinstance(condition, Unknown):
        entity = condition.entity
        entity = binding.get(entity.name, entity) if isinstance(entity, Var) else entity
        return not any(
            fact.attribute == condition.attribute and (isinstance(entity, Var) or fact.entity == entity)
            for fact in believed
        )
    low = _number(condition, binding, present, believed)
    high = _number(condition, binding, believed, believed)
    return low >= condition.at_least and (condition.at_most is None or high <= condition.at_most)


def _number(condition, binding, present, believed):
    if isinstance(condition, CountDistinct):
        return len({wider[condition.var.name] for wider in ways(condition.conditions, binding, present, believed)})
    return sum(any(True for _ in ways([each], binding, present, believed)) for each in condition.conditions)
