"""What is seldom told of a step: each figure is counted beside its case, each fault says what to type."""

import pytest

from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.errors import BadQuantity, CannotFollow, OutOfRange, UnknownName
from refinekit.shop.ask import listen
from refinekit.shop.doing import do
from refinekit.shop.rooms import room

BATH = {"gold": "1 g", "copper": "50 g", "bath-volume": "1 L", "bath-cuprous": "90 g/L"}
BAR = {"expected": "10 g", "fineness": "1"}
STREAMS = ("slag", "crucible", "filters", "wipes", "bath", "rinses", "stock-pot", "samples", "returned")
FOILS = Pot("foils", 0.05, {"Cu^2+": 0.01, "Cl^-": 0.02, "H2O": 2.7}, {"Au": 0.01})
CURD = Pot("silver chloride", 0.0, {}, {"AgCl": 0.1})
WITH_LEAD = Pot("silver liquor", 0.5, {"Ag^+": 0.1, "Pb^2+": 0.01, "NO3^-": 0.12, "H2O": 27.0}, {})


def done(verb: str, told: dict[str, object], *pots: Pot) -> Step:
    the_room = room(verb)
    heard = listen(the_room.fields, told, label=str)
    assert not heard.faults
    return do(the_room, heard, pots, Place(outdoors=True)).step


@pytest.mark.parametrize(
    ("verb", "told", "answer", "low", "likely", "high"),
    [
        # settlement: 9 g fine at 90/100/110 a gram
        ("account", {**BAR, "bar": "9 g", "price": "90/100/110 EUR/g"}, "paid_by_price", 810, 900, 990),
        ("account", {**BAR, "bar": "9 g", "assay-error": "0.03"}, "estimate_error", 3, 3, 3),
        ("account", {**BAR, "bar": "9 g", "assay-error": "0.03"}, "sigma", 0.3, 0.3, 0.3),
        # Pd(C4H7N2O2)2 is 336.6 g/mol, palladium 106.42: 0.316 of it; two of dimethylglyoxime (116.12) take one of palladium
        ("silver", {"precipitate": "10 g"}, "palladium_found", 3.161, 3.161, 3.161),
        ("silver", {"palladium": "5 g", "volume": "200 mL"}, "dmg_bare", 10.91, 10.91, 10.91),
        # Cl2 + 2 NaOH: two of 39.997 g for one of chlorine, called by its name
        ("scrub", {"gas": "chlorine", "mol": "1 mol", "volume": "2 L"}, "naoh", 79.99, 79.99, 79.99),
        # what is told of the balance leaves the rest to the other metal: 10 g at 585 are 5.85 g gold
        ("lot", {"weight": "10 g", "fineness": "585", "copper-fineness": "300"}, "silver", 1.15, 1.15, 1.15),
        ("lot", {"weight": "10 g", "fineness": "585", "silver-fineness": "300"}, "copper", 1.15, 1.15, 1.15),
        # 12 mL of 1 mol/L on 5 mL of bath are 2.4 mol/L, less the last drop of 0.05 mL
        ("titrate", {"used": "12 mL", "sample": "5 mL", "strength": "1 mol/L"}, "free_acid", 2.39, 2.4, 2.4),
        # Cu^2+ + Fe -> Cu + Fe^2+: 6 g of copper (63.546) take 5.27 g of iron (55.845) but for the 30 mg/L that stay
        ("cement", {"volume": "6 L", "copper-strength": "1 g/L"}, "iron_for_copper", 5.115, 5.115, 5.115),
        # 2 Au^3+ + 3 Cu: 90 mg of gold (196.967) eat 43.55 mg of copper
        ("cement", {"volume": "6 L", "gold-strength": "15 mg/L"}, "copper_by_gold", 43.55, 43.55, 43.55),
    ],
)
def test_a_figure_seldom_asked_for(
    verb: str, told: dict[str, object], answer: str, low: float, likely: float, high: float
) -> None:
    found = done(verb, told).answer(answer)
    assert (found.low, found.likely, found.high) == pytest.approx((low, likely, high), rel=2e-3)


def test_bleach_of_no_strength_told_is_the_usual_bottle() -> None:
    """100 mL of 6 % bleach (1.08 g/mL, 74.44 g/mol) hold 0.0870 mol, and as much chlorine at most."""
    step = done("fume", {"gas": "Cl2", "bleach-volume": "100 mL"})
    assert step.answer("chlorine_mol").high == pytest.approx(0.0870, rel=0.01)
    assert any(line.startswith("bleach: 6 %") for line in step.assumed)


@pytest.mark.parametrize(
    ("verb", "told", "pots", "said"),
    [
        ("account", {**BAR, "bar": "7 g"}, (), "2 g is more than those places usually hold"),
        ("account", {**BAR, "bar": "9.9 g", **dict.fromkeys(STREAMS, "0.01 g")}, (), "every stream is told"),
        ("leach", {"method": "nitric", "copper": "50 g", "aluminium": "5 g"}, (), "aluminium: it sits still in nitric"),
        ("scrub", {"gas": "Cl2", "mol": "1 mol", "volume": "300 mL"}, (), "strong caustic gets hot"),
        ("silver", {"how": "chloride"}, (WITH_LEAD,), "lead falls with it as white needles"),
        ("rinse", {}, (FOILS,), "foils into the gold step while still wet"),
    ],
)
def test_a_word_seldom_said(verb: str, told: dict[str, object], pots: tuple[Pot, ...], said: str) -> None:
    assert any(said in line for _, line in done(verb, told, *pots).says)


@pytest.mark.parametrize(
    ("bar", "gap"), [("9.99 g", 0.01), ("9.2 g", 0.8), ("8.6 g", 1.4)], ids=["a speck", "within the error", "a little over"]
)
def test_a_gap_the_estimate_itself_may_explain_is_no_metal_that_left_the_shop(bar: str, gap: float) -> None:
    """The estimate's error is 5 %, 0.5 g; the places nobody tested hold 1 g at most."""
    step = done("account", {**BAR, "bar": bar})
    assert step.answer("gap").likely == pytest.approx(gap)
    assert not any("metal that left the shop" in line for _, line in step.says)


@pytest.mark.parametrize(
    ("verb", "told", "pots", "kind", "said"),
    [
        ("leach", {**BATH, "bath-copper": "50 g/L", "bath-cuprous": "90 g/L", "bath-acid": "1 mol/L"}, (), OutOfRange, "copper"),
        (
            "leach",
            {**BATH, "bath-copper": "95 g/L", "bath-cuprous": "90 g/L", "bath-acid": "0.1 mol/L"},
            (),
            OutOfRange,
            "chloride",
        ),
        ("scrub", {"gas": "tear gas", "mol": "1 mol"}, (), UnknownName, "no gas whose limits are kept"),
        ("silver", {"how": "palladium"}, (CURD,), CannotFollow, "no palladium"),
        ("titrate", {"what": "acid"}, (), CannotFollow, "nothing was titrated"),
        ("titrate", {"used": "12 mL"}, (), CannotFollow, "how much liquor was titrated"),
        ("account", {**BAR, "bar": "9 g", "split-a": "3.8 g/kg"}, (), BadQuantity, "a split has two halves"),
    ],
)
def test_a_fault_seldom_made(verb: str, told: dict[str, object], pots: tuple[Pot, ...], kind: type, said: str) -> None:
    with pytest.raises(kind, match=said) as fault:
        done(verb, told, *pots)
    assert fault.value.cure
