"""The vessels of the book: a plan replayed gives its pots, pours keep what is poured, corrections reach on, the ledger closes."""

import random
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.chemistry.species import molar_mass
from refinekit.errors import BadQuantity, CannotFollow, Stopped, UnknownName
from refinekit.ranges import Number, likely
from refinekit.shop.ask import listen
from refinekit.shop.batch import read_batch
from refinekit.shop.book import bath
from refinekit.shop.book.as_done import AsDone, entries_of, vessel_name, worlds_of
from refinekit.shop.book.entry import Entry
from refinekit.shop.book.gate import before_pouring, stops
from refinekit.shop.book.left_over import gathered
from refinekit.shop.book.opening import open_book
from refinekit.shop.book.store import Book
from refinekit.shop.book.vessels import Held, Shelfful, change_op, pour_op, vessel_of, vessels_of
from refinekit.shop.plan import Plan, run_plan

EXAMPLES = Path(__file__).parents[2] / "examples"
DAY = "2026-03-05"


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with open_book(str(tmp_path / "book.sqlite"), write=True) as opened:
        yield opened


def plan_of(name: str, pots: tuple[Pot, ...] = ()) -> Plan:
    path = EXAMPLES / name
    return run_plan(read_batch(path.read_text(encoding="utf-8"), path.name), pots)


def same(planned: Number, held: Number, rows: tuple[int, int, int], cases: int) -> None:
    wanted = np.broadcast_to(planned, (cases,))[list(rows)] if cases > 1 else np.broadcast_to(planned, (3,))
    np.testing.assert_allclose(np.broadcast_to(held, (3,)), wanted, rtol=1e-9, atol=1e-12)


def compare(plan: Plan, done: AsDone, book: Book) -> None:
    """Every pot of the plan against the vessel of the book, in all three worlds."""
    shelf, rows, cases = vessels_of(book), worlds_of(plan), len(plan.ends)
    for pot in plan.pots:
        held = shelf.vessels[vessel_name(pot.name, done)].pot()
        same(pot.volume_l, held.volume_l, rows, cases)
        same(pot.inert_g, held.inert_g, rows, cases)
        for species in {**pot.dissolved_mol, **held.dissolved_mol}:
            same(pot.mol(species), held.mol(species), rows, cases)
        for species in {**pot.solids_mol, **held.solids_mol}:
            same(pot.solid_mol(species), held.solid_mol(species), rows, cases)
        assert held.marks == pot.marks
    standing = {vessel_name(pot.name, done) for pot in plan.pots}
    assert [name for name, held in shelf.vessels.items() if name not in standing and not held.pot().is_empty] == []
    assert [held.overdrawn() for held in shelf.vessels.values() if held.overdrawn()] == []


# ---- a plan written down as done
@pytest.mark.parametrize("name", ["edge-tabs.toml", "plated-pins.toml", "no-nitric.toml", "karat.toml", "sterling.toml"])
def test_a_plan_replayed_from_the_book_gives_the_plans_pots(book: Book, name: str) -> None:
    plan, done = plan_of(name), AsDone("12", DAY)
    book.add(entries_of(plan, done))
    compare(plan, done, book)


def test_a_second_lot_goes_through_the_bath_the_first_one_left(book: Book) -> None:
    first, one = plan_of("edge-tabs.toml"), AsDone("12", DAY)
    book.add(entries_of(first, one))
    left = vessel_of(book, "bath")
    there = Pot(
        "bath",
        likely(left.l),
        {species: likely(amount) for species, amount in left.pot().dissolved_mol.items()},
        temperature_k=left.pot().temperature_k,
        history=left.pot().history,
        marks=left.pot().marks,
    )
    second, two = plan_of("edge-tabs.toml", (there,)), AsDone("13", DAY)
    book.add(entries_of(second, two))
    bath_after = next(pot for pot in second.pots if pot.name == "bath")
    held = vessel_of(book, "bath")
    for species in bath_after.dissolved_mol:
        assert likely(held.pot().mol(species)) == pytest.approx(likely(bath_after.mol(species)), rel=1e-9, abs=1e-12)
    assert held.overdrawn() == []


def test_a_plan_that_was_stopped_for_safety_is_not_logged() -> None:
    stopped = replace(plan_of("edge-tabs.toml"), stopped_at="step 4 (drop)")
    with pytest.raises(Stopped, match=r"the plan is stopped at step 4 \(drop\).*\n.*nothing was logged"):
        entries_of(stopped, AsDone("12", DAY))


def test_what_was_used_stands_beside_what_was_planned_and_moves_the_vessel() -> None:
    plan = plan_of("edge-tabs.toml")
    planned = {row["key"]: row for entry in entries_of(plan, AsDone("12", DAY)) for row in entry.data.get("used", ())}
    more = AsDone("12", DAY, used={("", "nitric"): (planned["nitric"]["used"] + 0.002, "volume")}, bottles={"nitric": "H-1"})
    entries = entries_of(plan, more)
    (row,) = [row for entry in entries for row in entry.data.get("used", ()) if row["key"] == "nitric"]
    assert row["planned"] == planned["nitric"]["planned"]
    assert row["used"] == pytest.approx(planned["nitric"]["used"] + 0.002)
    assert row["bottle"] == "H-1"
    dissolve = next(entry for entry in entries if entry.data["step"] == "dissolve")
    extra = dissolve.ops[-1]
    assert extra["v"] == "12: gold liquor"
    # two millilitres of 68 % nitric acid are 2 x 1.4048 x 0.68 / 63.01 mol (density of IS 12816, as the density tables have it)
    assert extra["mol"]["NO3^-"] == pytest.approx(2 * 1.4048 * 0.68 / 63.01, rel=2e-3)
    assert extra["l"] == pytest.approx(0.002)


@pytest.mark.parametrize(
    ("lot", "step", "pour", "vessel"),
    [
        ("edge-tabs", "rinse", 3, "rinses"),  # 3 x 120 mL over the foils: it is in the rinses, not in the foils
        ("edge-tabs", "rinse", 4, "rinses"),
        ("edge-tabs", "rinse 2", 1, "gold liquor"),
        ("edge-tabs", "rinse 2", 2, "gold liquor"),
        ("karat", "silver 2", 2, "reduction liquor"),
        ("karat", "rinse", 1, "powder rinses"),
    ],
)
def test_each_pour_of_one_thing_moves_the_vessel_it_went_into(lot: str, step: str, pour: int, vessel: str) -> None:
    plan = plan_of(f"{lot}.toml")
    (row,) = [one.reagents[pour - 1] for one in plan.done_steps() if one.name == step]
    assert (row.name, row.unit) == ("water", "mL")
    done = AsDone("12", DAY, weighed={(step, pour): (row.to_take / 1000 + 0.018015, "volume")})
    (entry,) = [one for one in entries_of(plan, done) if one.data["step"] == step]
    extra = entry.ops[-1]
    assert extra["v"] == f"12: {vessel}"
    # a mole of water is 18.015 g, poured as a gram to the millilitre; a plan's own pour is within a hundredth of its ledger
    slack_l = 0.01 * row.to_take / 1000
    assert extra["l"] == pytest.approx(0.018015, abs=slack_l)
    assert extra["mol"] == {"H2O": pytest.approx(1.0, abs=slack_l / 0.018015)}


def test_what_was_used_of_several_pours_of_one_thing_is_what_they_come_to_together() -> None:
    entries = entries_of(plan_of("edge-tabs.toml"), AsDone("12", DAY, used={("rinse", "water"): (1.0, "volume")}))
    rows = [row for entry in entries if entry.data["step"] == "rinse" for row in entry.data["used"] if row["key"] == "water"]
    assert len(rows) == 3
    assert sum(row["used"] for row in rows) == pytest.approx(1.0)
    assert len({round(row["used"] / row["planned"], 9) for row in rows}) == 1


@pytest.mark.parametrize(
    ("done", "words"),
    [
        (AsDone("12", DAY, step="drp"), "did you mean 'drop'"),
        (AsDone("12", DAY, used={("", "lye"): (1.0, "mass")}), "no step of the plan takes 'lye'"),
        (AsDone("12", DAY, used={("", "hydrochloric"): (1.0, "volume")}), "say which"),
        (AsDone("12", DAY, used={("", "nitric"): (1.0, "mass")}), "measured by volume"),
    ],
)
def test_a_difference_nobody_can_place_is_told_with_its_cure(done: AsDone, words: str) -> None:
    with pytest.raises((UnknownName, BadQuantity), match=words):
        entries_of(plan_of("edge-tabs.toml"), done)


def test_what_a_lot_leaves_goes_to_the_shops_vessels_whole(book: Book) -> None:
    done = AsDone("12", DAY)
    book.add(entries_of(plan_of("edge-tabs.toml"), done))
    before = vessels_of(book)
    gold = {name: likely(held.element_g("Au")) for name, held in before.vessels.items()}
    book.add(
        [
            Entry(
                "vessel",
                "12",
                DAY,
                {"did": "put away"},
                ops=gathered({name: held.pot() for name, held in before.vessels.items()}),
            )
        ]
    )
    after = vessels_of(book)
    assert likely(after.vessels["filters"].element_g("Au")) == pytest.approx(gold["12: pulp"], rel=1e-9)
    assert likely(after.vessels["stripped boards"].element_g("Au")) == pytest.approx(gold["12: boards"], rel=1e-9)
    assert after.vessels["12: pulp"].pot().is_empty
    assert not after.vessels["12: button"].pot().is_empty
    assert sum(likely(held.element_g("Au")) for held in after.vessels.values()) == pytest.approx(sum(gold.values()), rel=1e-9)


# ---- pours, measures, corrections


def filled(book: Book, pot: Pot, corrects: int | None = None) -> int:
    op = change_op(pot.name, None, pot)
    return book.add([Entry("vessel", pot.name, DAY, {"did": "filled"}, corrects=corrects, ops=[op] if op else [])])[0]


def test_a_pour_takes_the_composition_there_is_and_a_correction_before_it_reaches_on(book: Book) -> None:
    copper = {"Cu^2+": 3.0, "Cl^-": 6.0}
    first = filled(book, Pot("bath", 4.0, dict(copper)))
    book.add([Entry("bath", "bath", DAY, {"did": "bled"}, ops=[pour_op("bath", "spent bath", 1.0)])])
    assert vessel_of(book, "spent bath").pot().mol("Cu^2+") == pytest.approx(0.75)
    assert vessel_of(book, "bath").pot().mol("Cu^2+") == pytest.approx(2.25)
    filled(book, Pot("bath", 4.0, {"Cu^2+": 4.0, "Cl^-": 8.0}), corrects=first)
    assert vessel_of(book, "spent bath").pot().mol("Cu^2+") == pytest.approx(1.0)
    assert vessel_of(book, "bath").pot().volume_l == pytest.approx(3.0)


def test_a_vessel_alone_is_read_the_same_as_with_all_others(book: Book) -> None:
    filled(book, Pot("a", 2.0, {"Cu^2+": 2.0, "Cl^-": 4.0}))
    filled(book, Pot('b "the old" one', 1.0, {"Ni^2+": 1.0, "Cl^-": 2.0}))
    book.add([Entry("vessel", "c", DAY, {}, ops=[pour_op("a", "c", 1.0), pour_op('b "the old" one', "c")])])
    book.add([Entry("vessel", "d", DAY, {}, ops=[pour_op("c", "d", 0.5)])])
    for name in ("a", 'b "the old" one', "c", "d"):
        alone, together = vessels_of(book, (name,)).vessels[name], vessels_of(book).vessels[name]
        assert alone.pot() == together.pot()
    assert vessel_of(book, "d").pot().mol("Ni^2+") == pytest.approx(0.25)


def test_more_taken_out_than_was_there_is_told(book: Book) -> None:
    filled(book, Pot("a", 1.0, {"Cu^2+": 1.0}))
    book.add([Entry("vessel", "a", DAY, {}, ops=[{"v": "a", "mol": {"Cu^2+": -1.5}}])])
    assert vessel_of(book, "a").overdrawn() == [("Cu^2+", pytest.approx(0.5))]
    assert vessel_of(book, "a").pot().mol("Cu^2+") == 0.0


def test_a_measured_acid_and_litre_are_gone_on_from_and_what_the_events_said_is_kept(book: Book) -> None:
    filled(book, Pot("bath", 5.0, {"H^+": 10.0, "Cl^-": 16.0, "Cu^2+": 3.0, "H2O": 250.0}))
    book.add([Entry("bath", "bath", DAY, {}, ops=[{"v": "bath", "set": {"l": 4.0, "acid": [2.4, 2.2, 2.6]}}])])
    held = vessel_of(book, "bath")
    assert held.pot().volume_l == 4.0
    np.testing.assert_allclose(held.pot().mol("H^+"), [9.6, 8.8, 10.4])
    assert likely(held.pot().mol("Cl^-")) == pytest.approx(16.0 + 9.6 - 10.0)
    day, measured, computed = held.measured["acid"]
    assert (day, likely(measured), likely(computed)) == (DAY, 2.4, pytest.approx(2.5))


# ---- safety
def test_ammonia_into_the_silver_pot_stops() -> None:
    silver = Pot("silver pot", 2.0, {"Ag^+": 0.5, "NO3^-": 1.0, "H^+": 0.5})
    assert stops(before_pouring(silver, "ammonia", {}))
    assert stops(before_pouring(silver, Pot("ammonium liquor", 1.0, {"NH3": 1.0, "NH4^+": 0.5, "Cl^-": 0.5}), {}))
    assert not stops(before_pouring(silver, Pot("water", 1.0, {"H2O": 55.0}), {}))


def test_spent_bath_filters_and_stock_pot_are_pots_too() -> None:
    filters = Pot("filters", 0.0, {}, {"Au": 0.01}, 20.0, marks={"ammonium": "denox"})
    spent = Pot("spent bath", 3.0, {"H^+": 4.0, "Cl^-": 6.0, "Cu^2+": 1.0})
    stock_pot = Pot("stock pot", 3.0, {"H^+": 3.0, "AuCl4^-": 0.001, "Cl^-": 3.0})
    assert stops(before_pouring(spent, "bleach", {}))
    assert stops(before_pouring(stock_pot, "ammonia", {}))
    assert stops(before_pouring(spent, "cyanide", {}))
    assert before_pouring(filters, "caustic", {})


# ---- the ledger
def asked(what: str, name: str = "bath", lot: str = "", **texts: str) -> bath.Asked:
    own: Mapping[str, object] = {key.replace("_", "-"): text for key, text in texts.items()}
    told = listen(bath.fields(), own, label=str)
    assert told.faults == []
    return bath.Asked(what, name, told, Place(outdoors=True), lot, at=DAY)


def done(shelf: Shelfful, ask: bath.Asked) -> Entry:
    """Do something to a bath and let it happen; the event."""
    outcome = bath.do(ask, shelf.of(ask.name))
    assert outcome.entry is not None
    shelf.follow(DAY, outcome.entry.ops)
    return outcome.entry


def test_the_ledger_over_two_hundred_random_lots_closes(book: Book) -> None:
    chance, running = random.Random(11), Shelfful()
    entries = [done(running, asked("start", bath_volume="5 L", bath_copper="30 g/L", bath_acid="3 mol/L"))]
    copper_g, nickel_g, chloride_mol = 150.0, 0.0, 5 * (3 + 2 * 30 / 63.546)
    for number in range(200):
        copper, nickel = chance.uniform(5, 90), chance.uniform(0.5, 9)
        held = running.of("bath")
        if likely(held.element_g("Cu")) / likely(held.l) > 100:
            entries.append(done(running, asked("bleed", copper=f"{copper:.6f} g")))
        acid_l = chance.uniform(0.25, 0.4)
        entries.append(done(running, asked("top-up", acid_volume=f"{acid_l:.6f} L", acid="10 mol/L")))
        entries.append(done(running, asked("lot", lot=str(number), copper=f"{copper:.6f} g", nickel=f"{nickel:.6f} g")))
        copper_g, nickel_g = copper_g + round(copper, 6), nickel_g + round(nickel, 6)
        chloride_mol += round(acid_l, 6) * 10.0
    book.add(entries)
    shelf = vessels_of(book)
    found = {element: sum(likely(held.element_g(element)) for held in shelf.vessels.values()) for element in ("Cu", "Ni", "Cl")}
    assert found["Cu"] == pytest.approx(copper_g, rel=1e-9)
    assert found["Ni"] == pytest.approx(nickel_g, rel=1e-9)
    assert found["Cl"] / molar_mass("Cl") == pytest.approx(chloride_mol, rel=1e-5)  # 63.546 above is rounded, the book's is not
    assert [held.overdrawn() for held in shelf.vessels.values() if held.overdrawn()] == []


def test_a_bath_that_is_not_there_or_retired_is_told(book: Book) -> None:
    with pytest.raises(CannotFollow, match="there is no bath 'bath' in the book"):
        bath.do(asked("bleed", volume="1 L"), Held("bath"))
    book.add([done(Shelfful(), asked("start", bath_volume="5 L", bath_copper="30 g/L", bath_acid="3 mol/L"))])
    with pytest.raises(BadQuantity, match="more than the bath has"):
        bath.do(asked("bleed", volume="9 L"), vessel_of(book, "bath"))
    with pytest.raises(CannotFollow, match="is there already"):
        bath.do(asked("start", bath_volume="5 L"), vessel_of(book, "bath"))
    book.add([bath.do(asked("retire"), vessel_of(book, "bath")).entry or Entry("bath", "", DAY)])
    assert vessel_of(book, "spent bath").l == pytest.approx(5.0)
    assert vessel_of(book, "bath").state == "retired"


def test_one_element_followed_alone_is_what_it_is_among_all(book: Book) -> None:
    book.add(entries_of(plan_of("edge-tabs.toml"), AsDone("12", DAY)))
    book.add([Entry("vessel", "x", DAY, {}, ops=[pour_op("12: pulp", "filters")])])
    every, alone = vessels_of(book).vessels, vessels_of(book, only="Au").vessels
    for name, held in every.items():
        np.testing.assert_allclose(held.element_g("Au"), alone[name].element_g("Au"), rtol=1e-12, atol=1e-15)
