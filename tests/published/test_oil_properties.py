"""Oil against ASTM D341, ISO 3448, ASTM D2270, ISO 4406 and ASTM D4378."""

import pytest

from diagnose.calculations import oil
from diagnose.calculations.laboratory import read_report

TABLE = {  # mm2/s of VG 32, 46 and 68 oils of index about 100, computed once by a separate program
    10: (161, 262, 442),
    30: (50.6, 75.4, 116),
    50: (21.5, 30.0, 42.9),
    60: (15.2, 20.6, 28.7),
    90: (6.7, 8.6, 11.2),
}
POINTS = ((32.0, 5.4), (46.0, 6.8), (68.0, 8.7))


def test_the_published_example_of_d341():
    """ASTM D341: 32 at 40 C and 5.4 at 100 C give 8.53 at 80 C (published 8.5), A 9.53082 and B 3.74658."""
    assert oil.viscosity_at(80, (40, 32.0), (100, 5.4)) == pytest.approx(8.533, abs=0.001)
    assert oil.walther((40, 32.0), (100, 5.4)) == pytest.approx((9.53082, 3.74658), abs=1e-5)


@pytest.mark.parametrize("temperature", TABLE)
def test_grades_over_temperature(temperature):
    """ASTM D341 through each grade's two points, within 1 % of the table."""
    found = [oil.viscosity_at(temperature, (40, at_40), (100, at_100)) for at_40, at_100 in POINTS]
    assert found == pytest.approx(TABLE[temperature], rel=0.01)


def test_grades_meet_nowhere():
    """ISO 3448: 10 % either way of the mid-point; 41.4 to 50.6 is VG 46, between grades is none."""
    assert [oil.grade_of(one) for one in (41.4, 50.6, 41.3, 50.7)] == [46, 46, None, None]


@pytest.mark.parametrize("index", [(73.30, 8.86, 92), (22.83, 5.05, 156)])
def test_viscosity_index_of_the_standards_examples(index):
    """ASTM D2270, worked examples of procedure A and B, to one unit; the coefficients are from memory."""
    at_40, at_100, published = index
    assert oil.viscosity_index(at_40, at_100) == pytest.approx(published, abs=1)


@pytest.mark.parametrize(
    "boundary", [3.8, 4.4, 5.0, 6.4, 7.0, 7.7, 9.0, 12.0, 15.0, 18.0, 22.0, 28.0, 40.0, 55.0, 70.0]
)
def test_the_index_has_no_step_where_its_formulas_meet(boundary):
    """ASTM D2270: neighbouring formulas agree within one unit of the index at each boundary, so none is mistyped."""
    at_40 = boundary * 8
    before, after = (oil.viscosity_index(at_40, boundary + side) for side in (-1e-6, 1e-6))
    assert before == pytest.approx(after, abs=1.0)


@pytest.mark.parametrize(("count", "code"), [(2500, 18), (640, 16), (80, 13), (1300, 17), (20_000, 21)])
def test_particle_codes(count, code):
    """ISO 4406 table 1: the upper count a mL of each code."""
    assert oil.cleanliness_code(count) == code


def test_limits_of_oil_in_service():
    """ASTM D4378: 1000 ppm of water condemns; the acid number may rise by 0.3; viscosity 5 % (10 % from memory)."""
    assert [oil.judge("water", ppm) for ppm in (400, 600, 1001)] == ["good", "watch", "act"]
    assert [oil.judge("acid-number", one, new=0.1) for one in (0.15, 0.3, 0.41)] == ["good", "watch", "act"]
    assert [oil.judge("viscosity", one, new=68) for one in (67, 63, 60)] == ["good", "watch", "act"]
    assert [oil.judge("rpvot", one, new=1000) for one in (800, 400, 200)] == ["good", "watch", "act"]


def test_a_laboratory_report_with_faults_is_read_as_far_as_it_goes():
    """Unknown properties, units that do not fit and text for a number are complained of by line; the rest counts."""
    report = read_report(
        [
            "property,value,unit,new",
            "Water,0.15,%,",
            "Colour,3,,",
            "TAN,high,mg KOH/g,",
            "KV40,61,C,",
            "ISO 4406,22/19/15,,",
        ]
    )
    assert {one.measured: one.verdict for one in report.results} == {"water": "act", "particles": "act"}
    assert [line.partition(":")[0] for line in report.complaints] == ["line 3", "line 4", "line 5"]
    assert report.word == "water"


@pytest.mark.parametrize(("at_40", "at_100"), [(32.0, 5.4), (46.0, 6.8), (68.0, 8.7)])
def test_turbine_oils_of_index_100(at_40, at_100):
    """ASTM D2270 turned round: the usual turbine grades at an index of 100, within 2 % of the table's second point."""
    found = oil.at_100_for(at_40, 100)
    assert found == pytest.approx(at_100, rel=0.02)
    assert oil.viscosity_index(at_40, found) == pytest.approx(100, abs=0.1)


def test_the_limits_shown_are_those_judged_by():
    """ASTM D4378 warning levels with the steps that are from memory: one table serves judging and showing."""
    assert oil.LIMITS == {
        "water": (500, 1000),
        "viscosity": (0.05, 0.10),
        "acid-number": (0.1, 0.3),
        "rpvot": (0.5, 0.75),
    }
    assert oil.DIRTIEST == (20, 18, 15)
