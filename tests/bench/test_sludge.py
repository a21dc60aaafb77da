"""Sludge: dry by phase, gel, cake, black oxide, the drum and what hauling costs."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.sludge import FIELDS, ROOM, choose, run
from refinekit.errors import CannotFollow
from refinekit.shop.ask import lay, listen

DATA = Path(__file__).parent.parent / "data"
WORKED = {case["id"]: case for case in json.loads((DATA / "worked/area10.json").read_text())["cases"]}


@pytest.mark.parametrize(("figure", "name"), [("dry", "sludge_dry"), ("settled", "gel"), ("cake", "cake")])
def test_worked_case(figure, name):
    wanted = WORKED["10.05"]["answers"][figure]
    found = run(copper_g=66.0, nickel_g=7.5, gel_solids=0.02, cake_solids=0.25).answer(name).likely
    assert found == pytest.approx(wanted["value"], rel=wanted["tolerance"]["relative"])


@pytest.mark.parametrize(
    ("metal", "dry_per_g"),
    [
        # hydroxide over metal, from molar masses (CIAAW 2021): 1 + charge x 17.007 / mass
        ("copper_g", 1.535),
        ("nickel_g", 1.580),
        ("iron_iii_g", 1.914),
        ("iron_g", 1.914),
        ("zinc_g", 1.520),
        ("lead_g", 1.164),
        ("aluminium_g", 2.890),
    ],
)
def test_dry_weight_of_a_gram_of_metal(metal, dry_per_g):
    assert run(**{metal: 100.0}).answer("sludge_dry").likely == pytest.approx(100 * dry_per_g, rel=0.001)


def test_ten_litres_of_rich_bath_make_forty_to_sixty_litres_of_gel():
    # common practice, no source: 10 L of bath at 60 g/L copper makes 40 to 60 L of gel
    assert 40 <= run(copper_g=600.0).answer("gel").likely <= 60


def test_heated_blue_turns_black_and_weighs_less():
    step = run(copper_g=63.546, heat=True)
    # Cu(OH)2 97.561 to CuO 79.545
    assert step.answer("sludge_dry").likely == pytest.approx(97.561, rel=1e-4)
    assert step.answer("heated_dry").likely == pytest.approx(79.545, rel=1e-4)
    assert step.pots[-1].solid_mol("CuO") == pytest.approx(1.0)
    gel, small = step.answer("gel").likely, step.answer("heated_gel").likely
    assert 3 <= gel / small <= 5  # common practice, no source


def told(**texts):
    heard = listen(FIELDS, {key.replace("_", "-"): text for key, text in texts.items()}, label=str)
    assert heard.faults == []
    return run(place=Place(), **lay(heard, 1)[0])


def test_hauling_by_the_litre_against_by_the_cake():
    step = told(copper="66 g", gel_solids="2 %", cake_solids="25 %", litre_price="1.20 /L", kilogram_price="3.50 /kg")
    # 101.33 g dry: 5.066 L of gel at 1.20, 0.4053 kg of cake at 3.50
    assert step.answer("by_litre").likely == pytest.approx(6.08, rel=0.002)
    assert step.answer("by_cake").likely == pytest.approx(1.419, rel=0.002)
    assert any("less to haul" in line for _, line in step.says)


def test_a_drum_too_small_is_said():
    step = told(copper="600 g", drum_room="20 L")
    assert step.answer("over_drum").likely == pytest.approx(step.answer("gel").likely - 20)
    over = f"{step.answer('over_drum').high:.3g}"
    assert any(f"the drum is too small by up to {over} L" in line for heading, line in step.says if heading == "watch for")


def test_the_drum_has_room_for_the_thinnest_gel():
    """Sludge and drum space go by the high end: half-full drums overflow overnight."""
    step = told(copper="66 g", nickel="7.5 g", litre_price="1.20 /L", kilogram_price="3.50 /kg")
    gel, drum = step.answer("gel"), step.answer("drum")
    assert (drum.low, drum.likely, drum.high) == (gel.low, gel.likely, gel.high)
    assert gel.high > 1.9 * gel.likely
    assert step.answer("by_litre").high == pytest.approx(1.2 * gel.high)
    assert not any("money" in line for _, line in step.says)


def test_the_month_counts_what_was_made_before():
    step = told(copper="66 g", month_so_far="99.9 kg")
    assert step.answer("month").likely == pytest.approx(99.9 + 0.4053, rel=1e-4)
    assert any("no longer a very small" in line for _, line in step.says)


def test_the_pot_of_neutralising_goes_to_cake_and_filtrate():
    pot = Pot("sludge", 4.0, {"Na^+": 4.0, "Cl^-": 4.0, "H2O": 200.0}, {"CuO2H2": 1.0})
    step = run([pot])
    assert [one.name for one in step.pots] == ["filtrate", "cake"]
    cake_kg = 97.561 / 0.25 / 1000
    assert step.answer("cake").likely == pytest.approx(cake_kg, rel=1e-4)
    assert step.pots[1].volume_l == pytest.approx(cake_kg - 0.097561, rel=1e-4)


def test_which_pot_it_takes():
    sludge, other, basic = (
        Pot("sludge", 1.0, {}, {"FeO3H3": 1.0}),
        Pot("bath", 1.0, {"H^+": 1.0}),
        Pot("x", 1.0, {}, {"Cu2ClO3H3": 1.0}),
    )
    assert choose([other, basic, sludge]) == (sludge,)
    assert choose([other, basic]) == (basic,)
    assert choose([other]) == ()


def test_no_sludge_says_what_to_give():
    with pytest.raises(CannotFollow, match="there is no sludge"):
        run([Pot("x", 1.0, {"H2O": 55.0})])


def test_every_answer_says_what_it_was_sized_on():
    step = run(copper_g=66.0, nickel_g=7.5)
    assert all(answer.sized_on and answer.because for answer in step.answers)
    assert step.workings
    assert ROOM.example.startswith("refinekit sludge ")


@given(st.floats(0.1, 1000.0), st.floats(0.0, 1000.0), st.floats(1.5, 30.0))
def test_twice_the_metal_makes_twice_the_sludge(copper, nickel, times):
    one, many = run(copper_g=copper, nickel_g=nickel), run(copper_g=times * copper, nickel_g=times * nickel)
    for name in ("sludge_dry", "gel", "cake", "drum"):
        assert many.answer(name).likely == pytest.approx(times * one.answer(name).likely)


@given(st.floats(0.1, 1000.0))
def test_likely_lies_between_the_ends(copper):
    for name in ("gel", "cake", "heated_gel", "drum_weight"):
        found = run(copper_g=copper).answer(name)
        assert found.low < found.likely < found.high
