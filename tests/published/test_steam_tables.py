"""Steam against IAPWS R7-97's verification tables, a published steam-rate table, and a second library."""

import pytest

from diagnose.calculations import steam
from diagnose.calculations.pressure import STANDARD_ATMOSPHERE

PSI = 0.0689475729
FAHRENHEIT = lambda degrees: (degrees - 32) / 1.8  # noqa: E731

RATES = [  # inlet psig, F (None: dry saturated), exhaust psig, published lb/kWh
    (100, None, 0, 22.73),
    (100, None, 15, 33.20),
    (200, None, 15, 22.83),
    (200, None, 50, 35.99),
    (250, 550, 15, 18.35),
    (250, 550, 50, 26.75),
    (250, 550, 150, 71.8),
    (400, 750, 50, 17.56),
    (600, 825, 100, 18.07),
]


@pytest.mark.parametrize(
    ("pressure", "kelvin", "published"),
    [
        (3.0, 300, 115.331273),
        (80.0, 300, 184.142828),
        (3.0, 500, 975.542239),
        (0.0035, 300, 2549.91145),
        (0.0035, 700, 3335.68375),
        (30.0, 700, 2631.49474),
    ],
)
def test_enthalpy_agrees_with_tables_5_and_15(pressure, kelvin, published):
    """Regions 1 and 2 of IAPWS R7-97, in MPa and K, to eight figures."""
    assert steam.enthalpy(pressure * 10, kelvin - 273.15) == pytest.approx(published, rel=1e-8)


@pytest.mark.parametrize(("kelvin", "published"), [(300, 0.353658941e-2), (500, 2.63889776), (600, 12.3443146)])
def test_saturation_pressure_agrees_with_table_35(kelvin, published):
    """Region 4 of IAPWS R7-97, from the temperature."""
    assert steam.saturation_pressure(kelvin - 273.15) / 10 == pytest.approx(published, rel=1e-8)


@pytest.mark.parametrize(("pressure", "published"), [(0.1, 372.755919), (1.0, 453.035632), (10.0, 584.149488)])
def test_saturation_temperature_agrees_with_table_36(pressure, published):
    """Region 4 of IAPWS R7-97, from the pressure."""
    assert steam.saturation_temperature(pressure * 10) + 273.15 == pytest.approx(published, rel=1e-8)


@pytest.mark.parametrize(("inlet", "fahrenheit", "exhaust", "published"), RATES)
def test_steam_rates_agree_with_mil_hdbk_1003_7_table_8(inlet, fahrenheit, exhaust, published):
    """Theoretical steam rates in lb/kWh, 0.2 % at most from the handbook."""
    state = [(gauge + 14.696) * PSI for gauge in (inlet, exhaust)]
    temperature = None if fahrenheit is None else FAHRENHEIT(fahrenheit)
    rate = steam.steam_rate(steam.expansion(state[0], temperature, state[1]).drop)
    assert rate / 0.45359237 == pytest.approx(published, rel=0.002)


def test_back_pressure_costs_what_the_handbook_shows():
    """MIL-HDBK-1003/7, table 8: from 15 to 50 psig exhaust at 200 psig the same flow gives 22.83 / 35.99 of the power."""
    low, high = ((gauge + 14.696) * PSI for gauge in (15, 50))
    inlet = 214.696 * PSI
    share = steam.power_share((inlet, None, low), (inlet, None, high), same_flow=True)
    assert share == pytest.approx(22.83 / 35.99, rel=0.003)


@pytest.mark.parametrize(("psig", "fahrenheit"), [(5, 227.1), (50, 297.7), (150, 365.9), (250, 406.0), (600, 488.9)])
def test_boiling_points_agree_with_the_quick_table(psig, fahrenheit):
    """Boiling points by gauge, computed once by a separate program, to 0.1 F."""
    temperature = steam.saturation_temperature((psig + 14.696) * PSI)
    assert temperature * 1.8 + 32 == pytest.approx(fahrenheit, abs=0.06)


@pytest.mark.parametrize("pressure", [1.2, 3.0, 10.0, 18.0, 42.0])
@pytest.mark.parametrize("above", [5.0, 40.0, 150.0])
def test_two_libraries_agree(pressure, above):
    """Enthalpy, entropy line and boiling point by a second, independent library, to a hundred-thousandth."""
    library = pytest.importorskip("pyXSteam.XSteam").XSteam
    other = library(library.UNIT_SYSTEM_MKS)  # bar, C, kJ/kg
    boiling = steam.saturation_temperature(pressure)
    assert boiling == pytest.approx(other.tsat_p(pressure), abs=1e-3)
    temperature = boiling + above
    assert steam.enthalpy(pressure, temperature) == pytest.approx(other.h_pt(pressure, temperature), rel=1e-5)
    ended = steam.expansion(pressure, temperature, STANDARD_ATMOSPHERE)
    assert ended.after == pytest.approx(other.h_ps(STANDARD_ATMOSPHERE, other.s_pt(pressure, temperature)), rel=1e-5)


@pytest.mark.parametrize(
    ("inlet", "temperature", "exhaust"), [(18.0, 260.0, 3.0), (11.0, 210.0, 1.5), (43.0, 400.0, 4.5)]
)
@pytest.mark.parametrize("efficiency", [0.3, 0.5, 0.7])
def test_two_libraries_agree_on_exhaust_and_efficiency(inlet, temperature, exhaust, efficiency):
    """Exhaust temperature from an efficiency by the second library, and the efficiency back from that temperature."""
    library = pytest.importorskip("pyXSteam.XSteam").XSteam
    other = library(library.UNIT_SYSTEM_MKS)
    before = other.h_pt(inlet, temperature)
    after = before - efficiency * (before - other.h_ps(exhaust, other.s_pt(inlet, temperature)))
    expected = other.t_ph(exhaust, after)
    assert steam.exhaust_temperature(inlet, temperature, exhaust, efficiency) == pytest.approx(expected, abs=0.02)
    found = steam.stage_efficiency(inlet, temperature, exhaust, expected)
    if expected - steam.saturation_temperature(exhaust) < 3:
        assert found is None
    else:
        assert found == pytest.approx(efficiency, abs=1e-4)


@pytest.mark.parametrize(("psig", "superheated"), [(100, False), (150, False), (200, False), (250, True)])
def test_choked_flow_goes_as_napier_found(psig, superheated):
    """Napier's rule for dry saturated steam, flow in proportion to p1 (textbook): sqrt(p1 / v1) follows it within 3 %."""
    base, pressure = 120.0 * PSI, (psig + 14.696) * PSI
    exhaust = 1.2
    drops = [steam.expansion(one, None, exhaust).drop for one in (base, pressure)]
    share = steam.power_share((base, None, exhaust), (pressure, None, exhaust)) * drops[0] / drops[1]
    assert share == pytest.approx(pressure / base, rel=0.03 if not superheated else 0.04)


def test_hotter_steam_at_one_pressure_flows_less():
    """Napier with superheat (textbook): the flow falls by about 1 / (1 + 0.00065 x F of superheat); within 3 %."""
    pressure, exhaust = 200.0 * PSI, 1.2
    boiling = steam.saturation_temperature(pressure)
    hot = boiling + 100 / 1.8
    drops = [steam.expansion(pressure, one, exhaust).drop for one in (None, hot)]
    flow = steam.power_share((pressure, None, exhaust), (pressure, hot, exhaust)) * drops[0] / drops[1]
    assert flow == pytest.approx(1 / (1 + 0.00065 * 100), rel=0.03)


def test_the_throttling_calorimeter_of_the_textbooks():
    """Textbook of steam power: 150 psig and 252.9 F in the calorimeter are 3 % of moisture (from memory)."""
    assert steam.wetness(164.696 * PSI, FAHRENHEIT(252.9)) == pytest.approx(0.03, abs=0.002)


@pytest.mark.parametrize(("pressure", "temperature"), [(-1.0, 100.0), (2000.0, 100.0), (10.0, 900.0), (10.0, -5.0)])
def test_outside_the_formulation_is_refused(pressure, temperature):
    """IAPWS R7-97, range of validity: one clear error instead of a number."""
    with pytest.raises(steam.SteamRangeError):
        steam.enthalpy(pressure, temperature)


def test_exhaust_above_inlet_is_refused():
    """Steam does not expand uphill."""
    with pytest.raises(steam.SteamRangeError):
        steam.expansion(3.0, 200.0, 5.0)


def test_wet_exhaust_tells_no_efficiency():
    """At its boiling point the exhaust temperature says nothing of the work done."""
    assert steam.stage_efficiency(15.0, None, 3.0, steam.saturation_temperature(3.0) + 1) is None
