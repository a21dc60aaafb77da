"""The air of a room in time against its closed forms, and what must hold of any release."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refinekit.bench.vent_time import Breath, Piece, portions, room_air
from refinekit.chemistry.nitric_oxide import browning_per_ppm_min
from refinekit.errors import OutOfRange

SPEED = browning_per_ppm_min(298.15, 101325.0)
LN10 = np.log(10)


# ---- closed forms, written out here
def test_even_flow_in_a_fanned_room():
    trace = room_air([Piece("SO2", 1.5, 0.0, minutes=20.0)], Breath(35.0, 12.0), 60.0)
    t = trace.minutes
    rising = 1.5 / 20 / 12e3 * 1e6 * (1 - np.exp(-12 / 35 * np.minimum(t, 20)))
    wanted = rising * np.exp(-12 / 35 * np.maximum(t - 20, 0))
    assert trace.ppm["SO2"][:, 0] == pytest.approx(wanted, rel=1e-9, abs=1e-12)


def test_burst_in_a_fanned_room():
    trace = room_air([Piece("SO2", 1.5, 0.0, t90_min=8.0)], Breath(35.0, 12.0), 600.0)
    k, q, t = LN10 / 8, 12 / 35, trace.minutes
    wanted = 1.5e6 / 35e3 * k / (k - q) * (np.exp(-q * t) - np.exp(-k * t))
    assert np.abs(trace.ppm["SO2"][:, 0] - wanted).max() < 1e-6 * wanted.max()
    assert trace.peak["SO2"][0] == pytest.approx(wanted.max(), rel=1e-9)


def test_burst_that_falls_off_as_fast_as_the_room_clears():
    k = LN10 / 8
    trace = room_air([Piece("SO2", 1.0, 0.0, t90_min=8.0)], Breath(35.0, 35 * k), 40.0)
    t = trace.minutes
    assert trace.ppm["SO2"][:, 0] == pytest.approx(1e6 / 35e3 * k * t * np.exp(-k * t), rel=1e-6, abs=1e-9)


def test_closed_room_keeps_it_all():
    trace = room_air([Piece("Cl2", 2.0, 0.0, t90_min=5.0)], Breath(40.0), 120.0)
    assert trace.ppm["Cl2"][-1, 0] == pytest.approx(50.0, rel=1e-9)


def test_nitric_oxide_at_rest_turns_by_its_closed_form():
    # all of it at once, near enough: then n = n0 / (1 + speed n0 t)
    trace = room_air([Piece("NO", 40.0, 0.0, minutes=1e-6)], Breath(40.0, 0.0, SPEED), 60.0, step_min=1 / 60)
    wanted = 1000 / (1 + SPEED * 1000 * 60)
    assert trace.ppm["NO"][-1, 0] == pytest.approx(wanted, rel=1e-6)
    assert trace.ppm["NO2"][-1, 0] == pytest.approx(1000 - wanted, rel=1e-6)


def test_even_nitric_oxide_in_a_closed_room_by_its_closed_form():
    trace = room_air([Piece("NO", 20.0, 0.0, minutes=30.0)], Breath(40.0, 0.0, SPEED), 30.0, step_min=1 / 60)
    comes = 20 / 40e3 * 1e6 / 30
    wanted = np.sqrt(comes / SPEED) * np.tanh(np.sqrt(comes * SPEED) * trace.minutes)
    assert np.abs(trace.ppm["NO"][:, 0] - wanted).max() < 1e-6 * wanted.max()


def test_nitric_oxide_in_a_fanned_room_by_its_closed_form():
    # a Bernoulli equation once nothing more comes: n = n0 e / (1 + speed n0 (1 - e) / q), e = exp(-q t)
    trace = room_air([Piece("NO", 40.0, 0.0, minutes=1e-6)], Breath(40.0, 4.0, SPEED), 30.0, step_min=1 / 120)
    q, fell = 0.1, np.exp(-0.1 * 30)
    assert trace.ppm["NO"][-1, 0] == pytest.approx(1000 * fell / (1 + SPEED * 1000 * (1 - fell) / q), rel=1e-6)


def test_a_usual_grid_is_good_to_a_thousandth_of_the_peak():
    pieces = [Piece("NO", 3.0, 0.0, t90_min=5.0), Piece("NO2", 1.0, 10.0, minutes=10.0)]
    trace = room_air(pieces, Breath(30.0, 3.0, SPEED), 120.0)
    k, q = LN10 / 5, 0.1

    def slope(t, air):
        turned = SPEED * air[0] ** 2
        no2 = 1e6 / 30e3 / 10 if 10 <= t < 20 else 0.0
        return np.array([3e6 / 30e3 * k * np.exp(-k * t) - q * air[0] - turned, no2 - q * air[1] + turned])

    wanted = walked_by_fourth_order(slope, 120.0, 0.01)
    for row, gas in enumerate(("NO", "NO2")):
        right = np.interp(trace.minutes, wanted[0], wanted[1][:, row])
        assert np.abs(trace.ppm[gas][:, 0] - right).max() < 1e-3 * right.max()


def walked_by_fourth_order(slope, until, step):
    """Runge and Kutta's classical four slopes, as a second opinion."""
    moments, air = np.arange(0.0, until + step, step), [np.zeros(2)]
    for t in moments[:-1]:
        a = slope(t, air[-1])
        b = slope(t + step / 2, air[-1] + step / 2 * a)
        c = slope(t + step / 2, air[-1] + step / 2 * b)
        d = slope(t + step, air[-1] + step * c)
        air.append(air[-1] + step / 6 * (a + 2 * b + 2 * c + d))
    return moments, np.array(air)


# ---- averages and waits
def test_worst_average_of_a_steady_figure_is_the_figure():
    trace = room_air([Piece("NO", 10.0, 0.0, minutes=600.0)], Breath(40.0, 40.0), 600.0)
    steady = 10 / 600 / 40e3 * 1e6
    assert trace.worst_mean("NO", 15.0)[0] == pytest.approx(steady, rel=1e-6)


def test_short_breath_counts_over_the_whole_window():
    # in a closed room 1 ppm for the last half of an 8 h window
    trace = room_air([Piece("CO2", 0.04, 0.0, minutes=1e-3)], Breath(40.0), 240.0)
    assert trace.worst_mean("CO2", 480.0)[0] == pytest.approx(0.5, rel=1e-4)


def test_last_time_over_a_line_is_the_purge_equation():
    trace = room_air([Piece("Cl2", 0.4, 0.0, minutes=1e-3)], Breath(40.0, 4.0), 200.0)
    assert trace.last_over_min("Cl2", 0.5)[0] == pytest.approx(10 * np.log(10 / 0.5), rel=2e-3)
    assert trace.last_over_min("Cl2", 20.0)[0] == 0


def test_closed_room_is_never_fit_again():
    trace = room_air([Piece("Cl2", 0.4, 0.0, minutes=5.0)], Breath(40.0), 200.0)
    assert np.isinf(trace.last_over_min("Cl2", 0.5)[0])


# ---- what must always hold
LITRES, MINUTES = st.floats(1e-3, 100.0), st.floats(0.5, 90.0)


@given(LITRES, MINUTES, st.integers(1, 6), st.booleans(), st.floats(0.0, 50.0))
@settings(max_examples=40, deadline=None)
def test_all_of_the_gas_comes(litres, time, count, even, fan):
    pieces = (
        [Piece("NO", litres, 0.0, minutes=time)]
        if even
        else portions("NO", litres, t90_min=time, count=count, apart_min=2 * time)
    )
    trace = room_air(pieces, Breath(40.0, fan, SPEED), pieces[-1].start_min + 15 * time)
    assert trace.come_l["NO"][0] == pytest.approx(litres, rel=1e-9)


@given(LITRES, MINUTES, st.floats(0.0, 60.0), st.floats(0.0, 60.0))
@settings(max_examples=40, deadline=None)
def test_more_fan_never_raises_a_peak(litres, time, one, other):
    def peaks(fan):
        pieces = [Piece("NO", litres, 0.0, t90_min=time), Piece("Cl2", litres, time, minutes=time)]
        trace = room_air(pieces, Breath(40.0, fan, SPEED), 6 * time)
        return [trace.peak[gas][0] for gas in ("NO", "NO2", "Cl2")]

    for weak, strong in zip(peaks(min(one, other)), peaks(max(one, other)), strict=True):
        assert strong <= weak * (1 + 1e-9)


@given(LITRES, MINUTES, st.floats(0.0, 60.0))
@settings(max_examples=40, deadline=None)
def test_nitrogen_in_the_air_is_what_came_less_what_the_fan_took(litres, time, fan):
    pieces = [Piece("NO", litres, 0.0, t90_min=time)]
    browned = room_air(pieces, Breath(40.0, fan, SPEED), 6 * time)
    plain = room_air(pieces, Breath(40.0, fan), 6 * time)
    assert browned.ppm["NO"] + browned.ppm["NO2"] == pytest.approx(plain.ppm["NO"], rel=1e-9, abs=1e-9)


def test_cases_are_walked_side_by_side_as_one_by_one():
    litres, times, fans = np.array([1.0, 2.0, 0.5]), np.array([5.0, 9.0, 5.0]), np.array([3.0, 0.0, 12.0])
    together = room_air([Piece("NO", litres, 0.0, t90_min=times)], Breath(40.0, fans, SPEED), 60.0, step_min=0.05)
    for case in range(3):
        one = room_air(
            [Piece("NO", litres[case], 0.0, t90_min=times[case])], Breath(40.0, fans[case], SPEED), 60.0, step_min=0.05
        )
        assert together.ppm["NO2"][:, case] == pytest.approx(one.ppm["NO2"][:, 0], rel=1e-12, abs=1e-15)


def test_keeping_every_tenth_step_keeps_the_peak_of_all():
    pieces = [Piece("NO", 3.0, 0.0, t90_min=5.0)]
    every, tenth = (room_air(pieces, Breath(40.0, 12.0, SPEED), 60.0, step_min=0.1, keep=keep) for keep in (1, 10))
    assert tenth.peak["NO2"] == pytest.approx(every.peak["NO2"], rel=1e-12)
    assert tenth.dose["NO2"][-1] == pytest.approx(every.dose["NO2"][-1], rel=1e-9)


# ---- what cannot be
@pytest.mark.parametrize(
    "told",
    [
        lambda: Piece("NO", 1.0, 0.0),
        lambda: Piece("NO", 1.0, 0.0, t90_min=0.0),
        lambda: Breath(0.0),
        lambda: Breath(40.0, -1.0),
        lambda: room_air([], Breath(40.0), 10.0),
        lambda: room_air([Piece("NO", 1.0, 0.0, minutes=1.0)], Breath(40.0), 0.0),
    ],
)
def test_what_cannot_be_is_refused(told):
    with pytest.raises(OutOfRange):
        told()
