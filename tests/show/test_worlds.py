"""Few worlds, the same for all pots of a bench, and each of them a world that was reckoned."""

import numpy as np

from refinekit.bench.pot import Pot
from refinekit.ranges import Range, corners
from refinekit.shop.potfile import pots_from, pots_to_list
from refinekit.shop.worlds import MOST_CASES, aligned, cases_of, telling_rows, thinned, together


def bench(inputs: int) -> tuple[Pot, Pot]:
    """A bath and its foils over every corner of some inputs: chloride is twice the copper plus the acid in each."""
    ends = corners(inputs)
    copper = 1 + ends[:, 0] + 0.1 * ends[:, 1:].sum(axis=1)
    acid = 0.5 + ends[:, 1] * (2 - ends[:, 0])
    bath = Pot("bath", 1 + 0.1 * ends[:, -1], {"Cu^2+": copper, "H^+": acid, "Cl^-": 2 * copper + acid})
    return bath, Pot("foils", solids_mol={"Au": 0.01 * copper / acid})


def test_few_worlds_are_kept_as_they_are() -> None:
    pots = bench(6)
    assert cases_of(pots) == MOST_CASES == 65
    assert thinned(pots) == pots


def test_many_worlds_become_few_and_keep_every_end() -> None:
    pots = bench(12)
    few = thinned(pots)
    assert cases_of(few) <= MOST_CASES
    for whole, kept in zip(pots, few, strict=True):
        for species, figure in {**whole.dissolved_mol, **whole.solids_mol}.items():
            now = {**kept.dissolved_mol, **kept.solids_mol}[species]
            assert Range.over(now) == Range.over(figure)


def test_each_kept_world_is_one_that_was_reckoned() -> None:
    bath, foils = thinned(bench(12))
    copper, acid = np.asarray(bath.dissolved_mol["Cu^2+"]), np.asarray(bath.dissolved_mol["H^+"])
    assert np.array_equal(np.asarray(bath.dissolved_mol["Cl^-"]), 2 * copper + acid)
    assert np.array_equal(np.asarray(foils.solids_mol["Au"]), 0.01 * copper / acid)


def test_worlds_at_the_end_of_a_mix_of_figures_are_kept() -> None:
    bath = bench(12)[0]
    copper, acid = np.asarray(bath.dissolved_mol["Cu^2+"]), np.asarray(bath.dissolved_mol["H^+"])
    rows = telling_rows([bath])
    left = acid / acid.max() - copper / copper.max()
    assert left[rows].min() == left.min()


def test_the_likely_world_stays_first() -> None:
    rows = telling_rows(bench(12))
    assert rows[0] == 0
    assert np.all(np.diff(rows) > 0)


def test_written_worlds_are_read_back_and_written_the_same() -> None:
    data = pots_to_list(bench(10))
    again = pots_to_list(pots_from(data, ["a", "b"]))
    assert again == data


def test_a_pot_that_stood_by_is_laid_out_like_the_others() -> None:
    by = Pot("drum", np.array([1.0, 0.5, 2.0]))
    worked = Pot("bath", np.arange(13.0))  # its two further worlds against six of a step's inputs, and the likely one
    drum, bath = aligned([by, worked])
    assert np.array_equal(np.asarray(drum.volume_l), [1.0, *[0.5] * 6, *[2.0] * 6])
    assert bath == worked


def test_pots_of_two_files_meet_in_every_pair_of_worlds() -> None:
    one = Pot("a", np.array([1.0, 0.5, 2.0]))
    two = Pot("b", np.array([10.0, 5.0, 20.0, 7.0]))
    a, b = together([one], [two])
    pairs = set(zip(np.asarray(a.volume_l).tolist(), np.asarray(b.volume_l).tolist(), strict=True))
    assert pairs == {(1.0, 10.0)} | {(x, y) for x in (0.5, 2.0) for y in (5.0, 20.0, 7.0)}


def test_plain_pots_need_no_worlds() -> None:
    plain, ranged = Pot("a", 1.0), Pot("b", np.array([1.0, 0.5, 2.0]))
    assert together([plain], [ranged], [plain.renamed("c")]) == (plain, ranged, plain.renamed("c"))


def test_worlds_that_have_nothing_to_do_with_each_other_are_crossed_in_the_order_of_the_pots() -> None:
    pots = [Pot("a", np.arange(4.0)), Pot("b", 1.0), Pot("c", np.arange(3.0))]
    laid = aligned(pots)
    assert [pot.name for pot in laid] == ["a", "b", "c"]
    assert cases_of(laid) == 1 + 3 * 2
    assert laid[1] == pots[1]
