"""What was seen narrows what was told: against closed answers, and what cannot both be true."""

import json
from pathlib import Path

import numpy as np
import pytest

from refinekit.bench.place import Place
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.ranges import Range
from refinekit.shop.ask import listen
from refinekit.shop.rooms import room
from refinekit.shop.seen import Seen, see
from refinekit.shop.seen_bench import mixed
from refinekit.shop.sights import chance, read_sights
from tests.command import Run

PLACE = Place(outdoors=True)


def after(verb: str, sights: list[str], **texts: str) -> Seen:
    told = listen(room(verb).fields, {name.replace("_", "-"): text for name, text in texts.items()}, label=str)
    assert not told.faults
    return see(room(verb), told, (), PLACE, sights)


def row(seen: Seen, name: str) -> tuple[Range, Range]:
    found = next(line for line in seen.tables[0].rows if line[0] == name)
    return found[1], found[2]


GOLD = {"gold": "1.6/2.1/2.6 g", "nitric": "68 %", "no_share": "0.8"}


def test_foil_gone_between_two_pours_tells_the_gold_between_them() -> None:
    """Closed form, NO share 0.8: g x 3 / 196.967 = (1 + 1.6) x mL x 15.16 / 1000, so 0.80 and 0.88 mL are 2.07 and 2.28 g."""
    seen = after("dissolve", ["foil gone after 0.88 mL", "foil left after 0.80 mL"], **GOLD)
    before, now = row(seen, "gold")
    assert (before.low, before.high) == pytest.approx((1.6 + 0.158, 2.6 - 0.158), abs=0.02)  # a triangle's twentieths
    assert now.low == pytest.approx(2.07, abs=0.09)
    assert now.high == pytest.approx(2.28, abs=0.09)


def test_nitric_left_is_no_more_than_the_last_portion_and_its_reading() -> None:
    seen = after("dissolve", ["foil gone after 0.88 mL", "foil left after 0.80 mL"], **GOLD)
    left = seen.done.step.answer("nitric_left").high  # in mL
    told = listen(room("dissolve").fields, {"gold": GOLD["gold"], "nitric": "68 %", "no-share": "0.8"}, label=str)
    assert not told.faults
    assert left < 0.25 * 0.88
    assert seen.done.step.answer("nitric_left").low >= 0


def test_the_gold_left_to_reckon_with_never_widens() -> None:
    seen = after("dissolve", ["foil gone after 0.88 mL"], gold="1.6/2.1/2.6 g", nitric="68 %")
    before, now = row(seen, "what it takes")
    assert now.high - now.low < before.high - before.low


def test_foil_still_there_gives_the_next_charge_within_what_is_still_wanted() -> None:
    seen = after("dissolve", ["foil left after 0.60 mL"], **GOLD)
    said = dict(seen.says)
    charge = float(said["next charge"].split(" ")[0])
    needs = 1000 * np.array([1.6, 2.6]) / 196.967 * 3 / 2.6 / 15.16
    assert 0 < charge < needs[1] - 0.60
    assert "fume stopped" in said["look at"]


def test_fizz_gone_tells_the_nitric_that_was_left() -> None:
    """Closed form: a sulfamic (97.09 g/mol) to a nitric, all of it taken: 1.4 g is 14.4 mmol, 0.95 mL of 15.16 mol/L."""
    sights = ["fizz gone after 1.4 g", "fizz left after 1.36 g"]
    seen = after("denox", sights, nitric_left="0.2/0.9/2.1 mL", volume="90 mL", dissolved_gold="2.1 g", taken="1")
    _, now = row(seen, "nitric left")
    assert now.likely == pytest.approx(0.937, abs=0.03)
    assert now.high - now.low < 0.15


def test_a_clear_spot_tells_the_gold_that_was_in_it() -> None:
    """Closed form: 0.75 metabisulfite (190.1 g/mol) to a gold, 0.97 good: 1.6 g dropped 1.6 x 0.97 / 0.7239 = 2.14 g."""
    sights = ["gold gone after 1.6 g", "gold left after 1.55 g"]
    seen = after("drop", sights, gold="1.6/2.1/2.6 g", goodness="0.97", volume="430 mL", free_acid="1 mol/L")
    _, now = row(seen, "gold")
    assert now.likely == pytest.approx(2.11, abs=0.04)


def test_a_sight_outside_every_sample_names_what_is_most_likely_wrong() -> None:
    with pytest.raises(CannotFollow, match="cannot both be true") as caught:
        after("dissolve", ["foil gone after 2.1 mL"], **GOLD)
    assert "most likely wrong: gold 1.6/2.1/2.6 g, it would have to be more" in caught.value.what


def test_a_sight_that_nothing_told_explains_blames_the_reading() -> None:
    with pytest.raises(CannotFollow, match="look at the reading itself"):
        after("dissolve", ["foil gone after 900 mL"], **GOLD)


BAD = [
    (["foil went after 2 mL"], "is not what dissolve can be told"),
    (["fizz gone after 2 mL"], "is not what dissolve can be told"),
    (["foil gone after 2 g"], "a volume was expected"),
    (["foil gone after -2 mL"], "--seen"),
    (["foil gone after 1 mL", "foil gone after 2 mL"], "went twice"),
    (["foil gone after 1 mL", "foil left after 2 mL"], "still there after 2"),
]


@pytest.mark.parametrize(("texts", "said"), BAD, ids=lambda word: str(word)[:30])
def test_a_sight_that_cannot_be_read_is_one_sentence(texts: list[str], said: str) -> None:
    with pytest.raises(BadQuantity) as caught:
        after("dissolve", texts, **GOLD)
    assert said in str(caught.value)


def test_the_chance_of_a_sight_is_one_between_the_pours_and_falls_off_outside() -> None:
    sights = read_sights("dissolve", ["foil gone after 2 mL", "foil left after 1 mL"])
    at = chance(np.array([0.5, 1.0, 1.5, 2.0, 3.0]), sights)
    assert at == pytest.approx([0.0, 0.5, 1.0, 0.5, 0.0], abs=1e-6)


def test_pots_between_their_worlds_keep_their_sums() -> None:
    from refinekit.bench.pot import Pot

    pot = Pot("foils", solids_mol={"Au": np.array([1.0, 2.0, 0.5]), "Cu": np.array([3.0, 6.0, 1.5])})
    part = mixed(pot, np.array([1, 2, 1]), np.array([0.5, 1.0, 0.0]))
    assert part.solids_mol["Au"] == pytest.approx([1.5, 0.5, 1.0])
    assert part.solids_mol["Cu"] == pytest.approx(3 * np.asarray(part.solids_mol["Au"]))


def test_a_pot_with_one_unknown_is_drawn_as_its_triangle() -> None:
    """A triangle of 1, 2 and 5 (closed form): P5 = 1 + sqrt(0.05 x 4 x 1), P50 and P95 = 5 - sqrt(0.5, 0.05 x 4 x 3)."""
    from refinekit.bench.pot import Pot
    from refinekit.shop.seen import Bench

    pot = Pot("foils", solids_mol={"Au": np.array([2.0, 1.0, 5.0])})
    bench = Bench(room("dissolve"), listen(room("dissolve").fields, {}, label=str), [pot], Place(), ["foils"])
    _, world, toward = bench.drawn(10_000, 1)
    found = np.percentile(mixed(pot, world.astype(int), toward).solids_mol["Au"], [5, 50, 95])
    assert found == pytest.approx([1 + (0.05 * 4) ** 0.5, 5 - (0.5 * 12) ** 0.5, 5 - (0.05 * 12) ** 0.5], rel=0.01)


def test_a_pot_of_a_plan_is_drawn_near_what_its_own_unknowns_give() -> None:
    """The foils of an example against the same plan over samples of its unknowns: within what is said beside the answer."""
    from refinekit.facts.load import fact
    from refinekit.shop.batch import read_batch
    from refinekit.shop.plan import hear_all, reckon
    from refinekit.shop.samples import sample
    from refinekit.shop.seen import Bench

    name = "edge-tabs.toml"
    heard = hear_all(read_batch((Path(__file__).parents[2] / "examples" / name).read_text(encoding="utf-8"), name))
    plan = reckon(heard)
    spread = sample(heard, plan, 4000).spread("leach", "gold in foils")
    (foils,) = (pot for step in plan.done_steps() if step.name == "rinse" for pot in step.pots if pot.name == "foils")
    bench = Bench(room("dissolve"), listen(room("dissolve").fields, {}, label=str), [foils], Place(), ["foils"])
    _, world, toward = bench.drawn(10_000, 1)
    found = np.percentile(mixed(foils, world.astype(int), toward).element_g("Au"), [5, 50, 95])
    off = fact("practice/unknowns.seen.pots_off").range
    assert (found[0], found[2]) == pytest.approx((spread.p5, spread.p95), rel=off.low + 0.01)
    assert found[1] == pytest.approx(spread.p50, rel=off.likely)


def test_pots_with_ranges_say_how_they_were_drawn(refinekit: Run, tmp_path: Path) -> None:
    pots = tmp_path / "pots.json"
    words = ["leach", "--gold", "1.6/2.1/2.6 g", "--copper", "50 g", "--nickel", "6 g", "--weight", "420 g", "--volume", "3 L"]
    pots.write_text(refinekit(*words, "--json").stdout, encoding="utf-8")
    said = refinekit(
        "dissolve", "--pot", str(pots), "--take", "foils", "--nitric", "68 %", "--outdoors", "--seen", "foil gone after 0.9 mL"
    )
    assert said.returncode == 0, said.stderr
    assert "not what moves them" in " ".join(said.stdout.split())


def test_what_was_seen_goes_on_to_the_next_step(refinekit: Run) -> None:
    words = ["dissolve", "--gold", "1.6/2.1/2.6 g", "--nitric", "68 %", "--outdoors", "--json"]
    plain = refinekit(*words)
    seen = refinekit(*words, "--seen", "foil gone after 0.9 mL", "--seen", "foil left after 0.84 mL")
    assert seen.returncode == 0, seen.stderr
    left = []
    for answer in (plain, seen):
        denox = refinekit("denox", "--pot", "-", "--outdoors", "--json", stdin=answer.stdout)
        assert denox.returncode == 0, denox.stderr
        left.append(json.loads(denox.stdout)["answers"]["nitric_left"])
    assert left[1]["high"] < 0.5 * left[0]["high"]


def test_the_colour_of_the_spot_can_still_be_told(refinekit: Run) -> None:
    words = ["drop", "--gold", "2.1 g", "--volume", "430 mL", "--free-acid", "1 mol/L", "--outdoors", "--seen"]
    assert "the spot" in refinekit(*words, "purple").stdout
    assert refinekit(*words, "purble").returncode == 2
