"""What a figure is of: gold, which has weights of its own, a gas, which nobody pours, or a liquor."""

import pytest

from refinekit.show.quantity import is_gas, is_gas_between, is_precious


@pytest.mark.parametrize(
    "name",
    ["nitrogen_dioxide_at_most", "no_if_on_iron", "gas_if_no2", "co2", "n2o", "hydrogen_most", "so2_if_dry", "NO2 at most, L",
     "brown fume at most L", "HCl fume", "chlorine gas", "hydrogen chloride", "air_if_all_used"],
)  # fmt: skip
def test_what_goes_into_a_room_is_a_gas(name: str) -> None:
    assert is_gas(name)


@pytest.mark.parametrize(
    "name",
    ["nitric_no_route", "nitric, all NO", "hydrogen peroxide", "hydrochloric acid", "hcl_pour", "water_carried", "bath_volume",
     "no more than a beaker", "portion", "ammonia water"],
)  # fmt: skip
def test_what_is_poured_is_none_whatever_it_gives_off(name: str) -> None:
    assert not is_gas(name)


@pytest.mark.parametrize(
    ("sentence", "gas"),
    [
        ("metal in acid makes hydrogen: about | L", True),
        ("sulfite in acid gives off sulfur dioxide (SO2), up to | L, into the room", True),
        ("the weak nitric left makes nitric oxide on iron, slowly, up to | L, which browns in air", True),
        ("nitric gives brown fume: up to | L of nitrogen dioxide", True),
        ("no more than | L of brown fume a go", True),
        ("no more than | L of liquor a go", False),
        ("over the gas, a lid and | L of water", False),
        ("the bath, once, cold: | mL of 3 % hydrogen peroxide", False),
        ("nitric left (up to | mL of 68 %) eats the reductant", False),
    ],
)
def test_a_figure_in_a_sentence_is_of_what_stands_nearest(sentence: str, gas: bool) -> None:
    before, _, behind = sentence.partition("|")
    assert is_gas_between(before, behind.partition(",")[0].removeprefix(" mL").removeprefix(" L")) is gas


def test_where_a_sentence_does_not_say_it_is_of_what_it_is_about() -> None:
    assert is_gas_between("", "", of="carbon dioxide")
    assert not is_gas_between("80 mL (all NO), ", "", of="nitric")


@pytest.mark.parametrize(("name", "precious"), [("gold_in_slag", True), ("copper_for_silver", False), ("silver_chloride", False)])
def test_a_metal_with_weights_of_its_own(name: str, precious: bool) -> None:
    assert is_precious(name) is precious
