"""A twelve-step day of fume, second by second, for a thousand samples of a shop; run this file by hand."""

import sys
import time

import numpy as np

from refinekit.bench.vent_time import Breath, Piece, room_air
from refinekit.chemistry.nitric_oxide import browning_per_ppm_min

ALLOWED_S = 2.0
SAMPLES, STEPS, DAY_MIN = 1000, 12, 480.0


def a_day():
    chance = np.random.default_rng(seed=7)
    pieces = []
    for number in range(STEPS):
        start = number * DAY_MIN / STEPS
        pieces.append(Piece("NO", chance.uniform(0.2, 1.0, SAMPLES), start, t90_min=chance.uniform(5, 8, SAMPLES)))
        pieces.append(Piece("SO2", chance.uniform(0.2, 1.0, SAMPLES), start, minutes=chance.uniform(15, 30, SAMPLES)))
    return pieces, Breath(45.0, chance.uniform(6, 12, SAMPLES), browning_per_ppm_min(298.15, 101325.0))


def main():
    pieces, breath = a_day()
    began = time.perf_counter()
    trace = room_air(pieces, breath, DAY_MIN, step_min=1 / 60, keep=60)
    taken = time.perf_counter() - began
    row = np.ones(SAMPLES)
    began = time.perf_counter()
    for _ in range(60 * int(DAY_MIN)):
        row *= 1.0
    bare = time.perf_counter() - began
    steps = 60 * int(DAY_MIN)
    print(f"{steps} s x {SAMPLES} samples, {len(trace.ppm)} gases: {taken:.2f} s")
    print(f"{taken / bare:.0f} times one product of {SAMPLES} figures a second")
    return 0 if taken < ALLOWED_S else 1


if __name__ == "__main__":
    sys.exit(main())
