"""A bath under air hour by hour: against closed forms, nothing made or lost, more air never slower."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refinekit.bench.air_run import STEPS_MOST, AirRun, Begin, Draught, aired, hours_of, least_chloride_over
from refinekit.bench.bubbles import Air
from refinekit.bench.place import Place
from refinekit.chemistry.vapour import hcl_pressure_pa
from refinekit.errors import OutOfRange

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area2.json").read_text())["cases"]}
CU, NI, HCL = 63.546, 58.693, 36.461
DAY = 1440.0
STILL = Draught(0.0, 1.0)


def air(mol_per_min):
    return Air(0.0, 0.2, 0.03, mol_per_min, 0.0)


def bath(copper_g=62.72, nickel_g=7.12, volume=2.5, acid=2.9, start_g_per_l=10.0):
    cupric, electrons = volume * start_g_per_l / CU, 2 * (copper_g / CU + nickel_g / NI)
    return Begin(
        volume,
        1080 * volume,
        cupric,
        0.0,
        0.0,
        acid * volume,
        acid * volume + 2 * cupric,
        electrons,
        copper_g / CU / max(electrons, 1e-9),
    )


PUMP = 1.5 / 24.465 * 0.2095 * 0.03 * 0.15  # mol/min, by hand: pump / molar volume x 0.2095 x 3 %/m x 0.15 m


# ---- closed forms
def test_half_a_kilo_of_fingers_is_green_again_when_the_days_say():
    # common practice, no source: about a week; the sum, oxygen wanted over oxygen supplied, 6.658 days
    run = aired(bath(), air(PUMP), 10 * DAY, STILL, Place())
    wanted = WORKED["2.03"]["answers"]["days"]
    assert run.green_min[0] / DAY == pytest.approx(wanted["value"], rel=1e-4)
    assert 4 < run.green_min[0] / DAY < 12


def test_hundred_grams_of_copper_on_two_litres_a_minute():
    supply = WORKED["2.02"]["answers"]["oxygen_supplied_per_min"]["value"]
    run = aired(bath(100.0, 0.0, acid=4.0), air(supply), 6 * DAY, STILL, Place())
    assert run.green_min[0] / 60 == pytest.approx(WORKED["2.02"]["answers"]["time"]["value"], rel=1e-4)


def test_copper_is_gone_when_what_is_left_to_oxidise_is_held_as_cuprous():
    # by hand: a tenth of all copper stays cupric while there is metal, so nine tenths are cuprous when the last of it goes:
    # (electrons - 0.9 x all copper) / (4 x supply)
    begin = bath()
    all_copper = begin.cupric_mol + 62.72 / CU
    run = aired(begin, air(PUMP), 10 * DAY, STILL, Place())
    assert run.metal_gone_min[0] == pytest.approx((begin.electrons_mol - 0.9 * all_copper) / (4 * PUMP), rel=1e-6)


def test_a_still_bath_dissolves_its_cupric_copper_and_stalls():
    # 4 L at 25 g/L, no air: each copper(II) takes a copper till a tenth of all of it is left: (C - 0.1 C)/(1 + 0.1) of it
    run = aired(bath(500.0, 0.0, volume=4.0, start_g_per_l=25.0), air(0.0), DAY, STILL, Place())
    dissolved_g = (run.electrons_mol[0, 0] - run.electrons_mol[-1, 0]) / 2 * CU
    assert dissolved_g == pytest.approx(100 * 0.9 / 1.1, rel=1e-9)
    assert np.isinf(run.metal_gone_min[0])


def test_acid_comes_to_its_floor_when_the_sum_says():
    # from 1.5 mol/L to 1 mol/L in 2.5 L, one acid an electron: 1.25 mol / (4 x supply)
    run = aired(bath(acid=1.5), air(PUMP), 10 * DAY, STILL, Place())
    assert run.low_acid_min[0] == pytest.approx(1.25 / (4 * PUMP), rel=1e-6)


def test_acid_alone_weakens_as_a_fine_sum_has_it():
    # 22 % acid, 20 L/min for ten days, in ten times finer steps with the printed table
    grams, minutes = 1100.0, 6.0
    acid = 0.22 * grams / HCL
    run = aired(Begin(1.0, grams, 0.0, 0.0, 0.0, acid, acid, 0.0, 0.0), air(0.0), 10 * DAY, Draught(20.0, 1.0), Place())
    for _ in range(round(10 * DAY / minutes)):
        pressure = hcl_pressure_pa(100 * acid * HCL / grams, 298.15)
        acid -= minutes * 20 / 24.465 * pressure / (101325 - pressure)
    assert run.acid_mol[-1, 0] == pytest.approx(acid, rel=2e-3)
    assert run.acid_mol[-1, 0] < 0.8 * run.acid_mol[0, 0]


def test_no_copper_two_no_start():
    run = aired(bath(start_g_per_l=0.0), air(PUMP), 5 * DAY, STILL, Place())
    assert run.electrons_mol[-1, 0] == run.electrons_mol[0, 0]
    assert run.oxygen_mol[-1, 0] == 0


def test_ferrous_iron_waits_for_the_copper():
    begin = replace(bath(0.0, 0.0), cuprous_mol=0.1, ferrous_mol=0.1)
    run = aired(begin, air(1e-5), DAY * 10, STILL, Place())
    assert run.ferrous_mol[run.cuprous_mol[:, 0] > 1e-6].min() == pytest.approx(0.1)
    assert run.green_min[0] == pytest.approx(0.2 / 4e-5)


def test_salt_is_short_where_cuprous_outgrows_the_chloride():
    begin = bath(200.0, 0.0, volume=1.0, acid=2.0, start_g_per_l=60.0)
    run = aired(begin, air(PUMP), 5 * DAY, STILL, Place())
    most = run.cuprous_mol.max()
    assert least_chloride_over(run, 3.0) == pytest.approx(3 * most - begin.chloride_mol, rel=1e-9)
    assert least_chloride_over(run, 0.1) == 0


# ---- nothing made, nothing lost
amounts = st.floats(0.0, 5.0)


@settings(max_examples=40)
@given(
    amounts, amounts, amounts, st.floats(0.1, 20.0), st.floats(0.0, 20.0), st.floats(0, 0.5), st.floats(0, 1e-3), st.floats(0, 30)
)
def test_copper_chloride_electrons_and_acid_come_out_as_they_went_in(cupric, cuprous, ferrous, acid, metal, share, supply, flow):
    begin = Begin(2.0, 2200.0, cupric, cuprous, ferrous, acid, acid + 2 * cupric + 2 * cuprous, metal, share)
    run = aired(begin, air(supply), 3 * DAY, Draught(flow, 1.7), Place())
    copper = run.cupric_mol + run.cuprous_mol + share * run.electrons_mol
    assert np.ptp(copper) <= 1e-9 * copper.max() + 1e-12
    given_up = (metal - run.electrons_mol) + (cuprous - run.cuprous_mol) + (ferrous - run.ferrous_mol)
    assert 4 * run.oxygen_mol == pytest.approx(given_up, abs=1e-9)
    assert run.acid_mol + 4 * run.oxygen_mol + run.hcl_mol == pytest.approx(np.full_like(run.acid_mol, acid), rel=1e-9)
    assert run.chloride_mol + run.hcl_mol == pytest.approx(np.full_like(run.acid_mol, begin.chloride_mol), rel=1e-9)
    for name in ("electrons_mol", "cupric_mol", "cuprous_mol", "ferrous_mol", "acid_mol"):
        assert getattr(run, name).min() >= -1e-9


@settings(max_examples=30)
@given(st.floats(1e-6, 5e-4), st.floats(1.0, 10.0), st.floats(1.0, 300.0), st.floats(2.0, 8.0))
def test_more_air_is_never_slower(supply, times, copper_g, acid):
    begin = bath(copper_g, 0.0, acid=acid)
    less, more = (aired(begin, air(one), 20 * DAY, STILL, Place()) for one in (supply, supply * times))
    assert more.metal_gone_min[0] <= less.metal_gone_min[0] * (1 + 1e-9)
    assert more.green_min[0] <= less.green_min[0] * (1 + 1e-9)
    assert (more.electrons_mol <= less.electrons_mol + 1e-9).all()


# ---- cases, steps, bad input
def test_cases_side_by_side_are_each_alone():
    supplies = np.array([PUMP, PUMP / 2, 2 * PUMP])
    together = aired(bath(), air(supplies), 8 * DAY, Draught(1.5, 1.7), Place())
    for case, supply in enumerate(supplies):
        alone = aired(bath(), air(float(supply)), 8 * DAY, Draught(1.5, 1.7), Place())
        for name in ("cupric_mol", "acid_mol", "water_mol", "hcl_mol"):
            assert getattr(together, name)[:, case] == pytest.approx(getattr(alone, name)[:, 0], rel=1e-12)
        assert together.green_min[case] == alone.green_min[0]


def test_hour_by_hour_up_to_a_fortnight():
    assert np.diff(hours_of(5.5 * 60)).tolist() == [60, 60, 60, 60, 60, 30]
    assert len(hours_of(14 * DAY)) - 1 == STEPS_MOST
    assert len(hours_of(400 * DAY)) - 1 <= STEPS_MOST
    assert hours_of(400 * DAY)[-1] == 400 * DAY


@pytest.mark.parametrize(
    ("begin", "minutes", "words"),
    [(replace(bath(), volume_l=0.0), DAY, "no bath to blow air through"), (bath(), 0.0, "minutes of air are none")],
)
def test_no_bath_and_no_time_are_said(begin, minutes, words):
    with pytest.raises(OutOfRange, match=words):
        aired(begin, air(PUMP), minutes, STILL, Place())


def test_a_figure_between_two_hours():
    run = aired(bath(), air(PUMP), 2 * DAY, STILL, Place())
    assert isinstance(run, AirRun)
    assert float(run.likely("acid_mol", 90.0)) == pytest.approx((run.acid_mol[1, 0] + run.acid_mol[2, 0]) / 2)
