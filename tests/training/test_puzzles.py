"""Closed questions."""

import pytest

from diagnose.reasoning.grading import graded
from diagnose.training.puzzles import Option, Puzzle, first_action, mark_puzzle, next_check
from diagnose.training.round_sheet import odd_reading
from diagnose.training.start_order import start_order
from diagnose.training.told import read_answer
from diagnose.values.problem import DiagnoseError


def test_the_best_check_is_worth_everything_and_no_other_more(cases, knowledge):
    """One option has full credit and is the program's own next check; all lie between 0 and 1."""
    puzzle = next_check(cases["course-wet-line"], knowledge, "a seed")
    earned = [one.credit for one in puzzle.options]
    assert max(earned) == 1.0
    assert min(earned) >= 0.0
    assert len({one.id for one in puzzle.options}) == 5


def test_a_telling_check_earns_half_while_one_for_safety_stands_open(cases, knowledge):
    """Where the best check is one for safety, no other option earns more than half."""
    pressing = []
    for name in [one for one in cases if one.startswith("course-")]:
        try:
            options = next_check(cases[name], knowledge, "a seed").options
        except DiagnoseError:  # nothing left to ask
            continue
        if options[0].choice.pressing:
            pressing.append(sorted(one.credit for one in options))
        if len(pressing) == 2:
            break
    assert len(pressing) == 2
    assert all(earned[-1] == 1.0 and earned[-2] <= 0.5 for earned in pressing)


def test_leaving_a_do_not_start_unheeded_is_unsafe(oil_case, knowledge):
    """With an empty glass before a start only holding it, or stopping, is safe."""
    puzzle = first_action(oil_case, knowledge, "a seed")
    marks = {option.id: mark_puzzle(puzzle, [at]) for at, option in enumerate(puzzle.options)}
    assert marks["hold"].total == 100.0
    assert (marks["look"].unsafe, marks["call"].unsafe, marks["stop"].unsafe) == (True, True, False)


@pytest.mark.parametrize("machine", ["BFP-1", "BFP-2", "AC-1", "CWP-3", "CP-4", "FDF-1", "FWP-1", "LOP-1"])
def test_a_round_sheet_has_one_odd_reading_and_it_is_the_right_one(knowledge, machine):
    """By the machine's own limits the keyed reading is abnormal, whatever the seed."""
    profile = knowledge.site.machines[machine]
    for seed in ("a", "b", "c"):
        puzzle = odd_reading(knowledge, profile, seed)
        odd = [option.id for option in puzzle.options if option.credit]
        assert len(odd) == 1
        now = {name: shown for name, _, shown in puzzle.table}
        reading = knowledge.findings[odd[0]]
        number = read_answer(odd[0], now[odd[0]], knowledge).number
        judged = graded(
            reading.judged_as, odd[0], number, 0.0, knowledge.rules.values(), profile, lambda _: frozenset()
        )
        assert not any(knowledge.findings[reading.judged_as].values[value] for value in judged)


def test_an_order_is_marked_by_its_pairs():
    """Stage order earns all, the reverse nothing; within a stage any order is right."""
    puzzle = Puzzle(
        "start-order",
        "M",
        "pre-start",
        tuple(Option(name, 0.0, stage=stage) for name, stage in zip("abcd", (0, 0, 1, 2), strict=True)),
        ordering=True,
    )
    assert mark_puzzle(puzzle, [1, 0, 2, 3]).total == 100.0
    assert mark_puzzle(puzzle, [3, 2, 1, 0]).total == 0.0


def test_the_checks_of_a_start_come_from_the_rules(knowledge):
    """A start in order has at least two stages of checks that fit the machine; without checks it is refused."""
    machine = knowledge.site.machines["BFP-2"]
    with pytest.raises(DiagnoseError, match="too few checks"):
        start_order(knowledge._replace(checks={}), machine, "a")
    if knowledge.checks:
        assert len({one.stage for one in start_order(knowledge, machine, "a").options}) > 1
