"""What else goes into the crucible: a collector, no nitrate, no bare chloride; the mould; minutes by the heater alone."""

import pytest

from refinekit.bench.melt import run
from refinekit.bench.melt_fields import FIELDS
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.errors import BadQuantity
from refinekit.shop.ask import lay, listen

AU, AG, CU = 196.96657, 107.8682, 63.546  # CIAAW 2021


def codes(step):
    return {notice.code: notice.level for notice in step.notices}


@pytest.mark.parametrize(("word", "times"), [("silver", 3), ("copper", 10)])
def test_a_collector_goes_into_the_button_and_into_the_ledger(word, times):
    """Common practice, no source: three times the gold in silver, ten in copper."""
    step = run(place=Place(), gold_g=0.3, grit_g=20.0, dirt="dirty", collector=word, slag_share=0.0)
    assert step.answer("collector").likely == pytest.approx(0.3 * times)
    assert step.answer("button").likely == pytest.approx(0.3 * (1 + times))
    assert [one.to_take for one in step.reagents if one.key == word] == pytest.approx([0.3 * times])
    assert step.answer("borax").likely == pytest.approx(0.21 * 20.3)  # by the powder, not by the collector


def test_a_collector_by_weight_and_one_without_a_name():
    step = run(place=Place(), gold_g=0.3, collector="silver", collector_weight_g=5.0, slag_share=0.0)
    assert step.answer("button").likely == pytest.approx(5.3)
    with pytest.raises(BadQuantity, match="name it"):
        run(place=Place(), gold_g=0.3, collector_weight_g=5.0)


@pytest.mark.parametrize(("nitrate_g", "stopped"), [(0.0, False), (0.1, False), (0.2, True), (5.0, True)])
def test_nitrate_left_in_the_powder_stops_the_melt(nitrate_g, stopped):
    """30 g of sponge; half a part in a hundred is 0.15 g."""
    ions = nitrate_g / 62.004
    powder = Pot("sponge", 0.01, {"Ag^+": ions, "NO3^-": ions, "H2O": 0.5}, {"Au": 30.0 / AU})
    assert ("nitrate-in-melt" in codes(run((powder,), place=Place()))) == stopped


def test_nitrate_in_the_powder_stops_the_command(refinekit):
    part = refinekit("part", "--gold", "25g", "--silver", "65g", "--copper", "10g", "--json")
    melted = refinekit("melt", "--pot", "-", stdin=part.stdout)
    assert melted.returncode == 3
    assert "nitrate-in-melt" in melted.stderr
    assert "g of powder" in melted.stderr
    assert "MEASURE OUT" not in melted.stdout


@pytest.mark.parametrize(("dirt", "noted"), [("clean", True), ("chloride", False)])
def test_silver_chloride_without_soda_is_spoken_of(dirt, noted):
    step = run(place=Place(), gold_g=40.0, silver_chloride_g=3.0, dirt=dirt)
    assert ("chloride-in-melt" in codes(step)) == noted


def test_the_mould_holds_the_metal_while_it_is_liquid():
    """173 g of gold at 17.3 g/mL liquid: 10 mL; as four to two to one, (10/8)^(1/3) cm thick."""
    step = run(place=Place(), gold_g=173.0, slag_share=0.0)
    assert step.answer("mould").likely == pytest.approx(10.0)
    assert step.answer("bar_thickness").likely == pytest.approx(10 * 1.25 ** (1 / 3))
    assert any(
        heading == "vessel" and "bar mould of 10 mL or more, such as 43.1 x 21.5 x 10.8 mm" in line for heading, line in step.says
    )


@pytest.mark.parametrize("heater", ["torch", "furnace"])
def test_minutes_come_by_the_heater_alone_with_their_range(heater):
    figures, _ = lay(listen(FIELDS, {"gold": "50 g", "heater": heater}, label=str), 1)
    step = run(place=Place(), **figures)
    heat = step.answer("heat").likely
    watt, share = {"torch": (3000, 0.06), "furnace": (1500, 0.2)}[heater]  # common practice, no source
    minutes = step.answer("minutes")
    assert minutes.likely == pytest.approx(1000 * heat / watt / share / 60)
    assert minutes.low < minutes.likely < minutes.high
