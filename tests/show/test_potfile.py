"""Pots handed from command to command, and pots written by hand."""

import json
from typing import Any

import numpy as np
import pytest
from show_samples import CHLORINE, dissolving

from refinekit.bench.pot import Event, Pot
from refinekit.errors import BadFile
from refinekit.ranges import Range, high, likely, low
from refinekit.shop.potfile import from_dict, pots_to_list, read_pots, to_dict
from refinekit.show.as_json import to_json

BATH = Pot(
    "bath",
    np.array([2.0, 1.9, 2.2]),
    {
        "Cu^2+": np.array([1.0, 0.8, 1.3]),
        "H^+": 4.0,
        "Cl^-": np.array([6.0, 5.6, 6.6]),
        "H2O": 100.0,
    },
    {"Au": np.array([0.01, 0.008, 0.02]), "CuCl": 0.0},
    np.array([20.0, 10.0, 30.0]),
    291.15,
    (Event("leach", "added hydrochloric acid", {"HCl": Range(4, 6, 8), "H2O": Range.point(90.0)}), Event("leach", "air off")),
    {"organics": "leach"},
)


def same(one: Pot, other: Pot) -> bool:
    for mine, theirs in ((one.dissolved_mol, other.dissolved_mol), (one.solids_mol, other.solids_mol)):
        if list(mine) != list(theirs) or not all(np.array_equal(mine[key], theirs[key]) for key in mine):
            return False
    return (
        np.array_equal(one.volume_l, other.volume_l)
        and np.array_equal(one.inert_g, other.inert_g)
        and (one.name, one.temperature_k, one.history, dict(one.marks))
        == (other.name, other.temperature_k, other.history, dict(other.marks))
    )


# --- there and back ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "pot",
    [
        BATH,
        Pot("empty"),
        Pot("foils", solids_mol={"Au": 0.0107, "Cu": 1 / 3}, inert_g=0.1),
        Pot("hot", 0.25, {"H^+": 0.1, "Cl^-": 0.1}, temperature_k=358.15),
        Pot("odd", 1 / 3, {"H^+": 2 / 3, "NO3^-": 2 / 3}, temperature_k=273.15 + 100 / 3),
        Pot('Zürich "2" \\', 0.0),
    ],
    ids=lambda pot: pot.name[:6],
)
def test_a_pot_comes_back_exactly(pot: Pot) -> None:
    back = read_pots(json.dumps(to_dict(pot)), "pipe")[0]
    assert same(pot, back)
    assert to_dict(back) == to_dict(pot)


def test_the_whole_json_of_a_command_is_read() -> None:
    text = to_json(dissolving())
    liquor, bath = read_pots(text, "pipe")
    assert (liquor.name, bath.name) == ("gold liquor", "bath")
    assert same(liquor, dissolving().pots[0])
    assert liquor.history[0].added_mol["HNO3"] == Range(0.006, 0.01, 0.03)


def test_a_list_of_pots_and_a_single_pot_are_read() -> None:
    assert [pot.name for pot in read_pots(json.dumps(pots_to_list([BATH, Pot("foils")])), "f")] == ["bath", "foils"]
    assert read_pots('{"name": "drum"}', "f")[0].name == "drum"


def test_uncertain_figures_are_written_with_their_ends_and_their_worlds() -> None:
    data = to_dict(BATH)
    assert data["dissolved_mol"]["Cu^2+"] == {"low": 0.8, "likely": 1.0, "high": 1.3}
    assert data["dissolved_mol"]["H^+"] == 4.0
    assert data["cases"]["dissolved_mol"] == {"Cu^2+": [1.0, 0.8, 1.3], "Cl^-": [6.0, 5.6, 6.6]}
    assert data["temperature_c"] == 18.0
    assert "cases" not in to_dict(Pot("plain", solids_mol={"Au": np.array([1.0, 1.0, 1.0])}))


# --- written by hand --------------------------------------------------------------------------------------------------------


def by_hand(**keys: Any) -> Pot:
    return from_dict({"name": "bath", "volume_l": 2, **keys})


def test_salts_and_acids_named_whole_become_their_ions_and_water_is_filled_in() -> None:
    pot = by_hand(dissolved_mol={"HCl": 4, "CuCl2": 1.0, "gold chloride": 0.01})
    assert pot.dissolved_mol["Cl^-"] == 6.0
    assert pot.dissolved_mol["H^+"] == 4.01
    assert pot.dissolved_mol["AuCl4^-"] == 0.01
    assert pot.dissolved_mol["H2O"] == pytest.approx(111.0, rel=1e-3)  # 2 kg of 18.015 g/mol


def test_names_and_aliases_of_the_bench_do() -> None:
    pot = by_hand(dissolved_mol={"copper(II)": 1, "Chloride": 2}, solids_mol={"gold": 0.1, "curd": 0.2})
    assert pot.dissolved_mol["Cu^2+"] == 1
    assert pot.solids_mol == {"Au": 0.1, "AgCl": 0.2}


def test_the_counter_ion_is_filled_in_world_by_world() -> None:
    pot = by_hand(
        dissolved_mol={"Cu^2+": {"low": 1, "likely": 1.2, "high": 1.6}, "H^+": {"low": 1, "likely": 2, "high": 3}}, balance="Cl^-"
    )
    chloride = pot.dissolved_mol["Cl^-"]
    assert (low(chloride), likely(chloride), high(chloride)) == pytest.approx((3.0, 4.4, 6.2))
    assert pot.cases == 5


def test_ions_told_as_ranges_move_together_so_that_charges_meet() -> None:
    pot = by_hand(
        dissolved_mol={"Cu^2+": {"low": 1, "likely": 1.2, "high": 1.6}, "Cl^-": {"low": 2, "likely": 2.4, "high": 3.2}},
        solids_mol={"Au": {"low": 0.1, "likely": 0.2, "high": 0.3}},
    )
    assert np.allclose(pot.dissolved_mol["Cl^-"], 2 * np.asarray(pot.dissolved_mol["Cu^2+"]))
    worlds = {(float(a), float(b)) for a, b in zip(pot.dissolved_mol["Cu^2+"], pot.solids_mol["Au"], strict=True)}  # type: ignore[arg-type]
    assert worlds == {(1.2, 0.2), (1, 0.1), (1, 0.3), (1.6, 0.1), (1.6, 0.3)}


def test_many_ranges_still_make_few_worlds() -> None:
    names = ["Cu^2+", "Ni^2+", "Zn^2+", "Fe^2+", "Fe^3+", "Sn^2+", "Al^3+", "H^+", "Na^+"]
    pot = by_hand(dissolved_mol={name: {"low": 0.1, "likely": 0.2, "high": 0.3} for name in names}, balance="Cl^-")
    assert pot.cases == 65
    assert Range.over(pot.dissolved_mol["Cl^-"]).low == pytest.approx(0.1 * (2 * 5 + 3 * 2 + 2))
    assert Range.over(pot.dissolved_mol["Cl^-"]).high == pytest.approx(0.3 * (2 * 5 + 3 * 2 + 2))


def test_a_pot_left_at_shop_temperature_is_at_25() -> None:
    assert by_hand().temperature_k == 298.15


# --- refused ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pot", "what", "cure"),
    [
        ([], "is a list, not a pot", "a pot is written"),
        ({}, "name is missing", "as in"),
        ({"name": 3}, "name is a number", "as in"),
        ({"name": "  "}, "b.name is empty or too long", "1 to 80 letters"),
        ({"name": "x" * 81}, "b.name is empty or too long", "1 to 80 letters"),
        ({"name": "b", "volumn_l": 1}, "the key 'volumn_l'", "did you mean 'volume_l'"),
        ({"name": "b", "volume_l": -1}, "b.volume_l is -1", "0 or more"),
        ({"name": "b", "volume_l": True}, "b.volume_l is true, which is no number", "number without quotes"),
        ({"name": "b", "volume_l": "2 L"}, "b.volume_l is text", "number without quotes"),
        ({"name": "b", "volume_l": None}, "b.volume_l is missing", "number without quotes"),
        ({"name": "b", "volume_l": float("nan")}, "more than there can be, or no number", "at most 1e+06"),
        ({"name": "b", "volume_l": 10**400}, "more than there can be", "at most"),
        ({"name": "b", "volume_l": 1e7}, "more than there can be", "at most"),
        ({"name": "b", "solids_mol": {"Au": {"low": 1, "high": 2}}}, 'solids_mol["Au"] has not all of', "or {"),
        ({"name": "b", "solids_mol": {"Au": {"low": 3, "likely": 2, "high": 4}}}, "out of order", "smallest first"),
        ({"name": "b", "solids_mol": {"Au": {"lo": 3, "likely": 2, "high": 4}}}, "the key 'lo'", "did you mean 'low'"),
        ({"name": "b", "solids_mol": ["Au"]}, "solids_mol is a list", "write species"),
        ({"name": "b", "solids_mol": {"Au": 1, "gold": 1}}, '"gold"] is Au, which is told as "Au" too', "once"),
        ({"name": "b", "solids_mol": {"Xx": 1}}, '["Xx"] is no species', "write a formula"),
        ({"name": "b", "solids_mol": {"Cu^2+": 1}}, "is an ion", "ions go under dissolved_mol"),
        ({"name": "b", "solids_mol": {"NaCl": 1}}, '"NaCl"] dissolves', "under dissolved_mol"),
        ({"name": "b", "volume_l": 1, "dissolved_mol": {"Cu2+": 1}}, "no species", "did you mean 'Cu^2+'"),
        ({"name": "b", "volume_l": 1, "dissolved_mol": {"choride": 1}}, "no species", "did you mean 'chloride'"),
        ({"name": "b", "volume_l": 1, "dissolved_mol": {"copper": 1}}, '"copper"] is a solid', "in solution it is Cu^2+ or"),
        ({"name": "b", "dissolved_mol": {"HCl": 1}}, "volume_l is not told", "how much liquor"),
        (
            {"name": "b", "volume_l": 1, "dissolved_mol": {"Cu^2+": 1}},
            "charges do not meet by 2 mol; a negative",
            '"balance": "Cl^-"',
        ),
        (
            {"name": "b", "volume_l": 1, "dissolved_mol": {"Cl^-": 1}},
            "charges do not meet by 1 mol; a positive",
            '"balance": "H^+"',
        ),
        ({"name": "b", "volume_l": 1, "dissolved_mol": {"Cu^2+": 1}, "balance": "Na^+"}, "cannot balance it", "other sign"),
        (
            {"name": "b", "volume_l": 1, "dissolved_mol": {"Cl^-": 1}, "balance": "Cl^-"},
            "told under dissolved_mol too",
            "leave one",
        ),
        ({"name": "b", "volume_l": 1, "balance": "H2O"}, "has no charge", "name an ion"),
        ({"name": "b", "volume_l": 1, "balance": 3}, "balance is a number", "name the ion"),
        ({"name": "b", "temperature_c": -300}, "temperature_c is -300", "-273.15 or more"),
        ({"name": "b", "temperature_c": -273.15}, "temperature_c is -273.15", "nothing is that cold"),
        ({"name": "b", "temperature_c": 1e9}, "more than there can be", "3000"),
        ({"name": "b", "history": {}}, "history is a group of keys", "write a list"),
        ({"name": "b", "history": [3]}, "history[0] is a number", "step"),
        ({"name": "b", "history": [{"step": "leach"}]}, 'history[0]["did"] is missing', "word in quotes"),
        ({"name": "b", "history": [{"step": "l", "did": "d", "added_mol": {"HCl": -1}}]}, 'added_mol["HCl"] is -1', "0 or more"),
        ({"name": "b", "history": [{"step": "l", "did": "d", "added_mol": 1}]}, "added_mol is a number", "formulas"),
        ({"name": "b", "history": [{"step": "l", "dud": "d"}]}, "the key 'dud'", "did you mean 'did'"),
        ({"name": "b", "marks": {"organics": 1}}, 'marks["organics"] is a number', "quotes"),
        ({"name": "b", "marks": ["organics"]}, "marks is a list", "write words"),
        ({"name": "b", "cases": 3}, "cases is a number", "leave cases out"),
        ({"name": "b", "cases": {"solid_mol": {}}}, "the key 'solid_mol'", "did you mean 'solids_mol'"),
        ({"name": "b", "solids_mol": {"Au": 1}, "cases": {"solids_mol": {"Au": [1]}}}, "no list of 2 to 65", "leave cases out"),
        (
            {"name": "b", "solids_mol": {"Au": 1}, "cases": {"solids_mol": {"Au": [1.0, 2.0]}}},
            "does not agree",
            "leave cases out",
        ),
        ({"name": "b", "cases": {"solids_mol": {"Au": [1.0, 2.0]}}}, "does not agree", "leave cases out"),
        (
            {
                "name": "b",
                "volume_l": {"low": 1, "likely": 2, "high": 3},
                "inert_g": {"low": 1, "likely": 2, "high": 3},
                "cases": {"volume_l": [2, 1, 3], "inert_g": [2, 1]},
            },
            "lists of several lengths",
            "leave cases out",
        ),
    ],
)
def test_a_bad_pot_is_refused_with_where_and_how_to_mend_it(pot: object, what: str, cure: str) -> None:
    with pytest.raises(BadFile) as caught:
        from_dict(pot, "b")
    assert what in caught.value.what
    assert cure in caught.value.cure


@pytest.mark.parametrize(
    ("text", "what", "cure"),
    [
        ("", "is empty", "run it by itself"),
        ("  \n ", "is empty", "run it by itself"),
        ("dissolve  foils", "is not JSON (line 1, column 1", "add --json"),
        ('{"name": "b", "volume_l": NaN}', "NaN, which is no amount", "plain numbers"),
        ('{"name": "b", "volume_l": -Infinity}', "-Infinity, which is no amount", "plain numbers"),
        ('{"name": "b", "name": "c"}', "tells 'name' twice", "each key once"),
        ("[" * 100_000, "nested too deep", "right file"),
        ('{"a":' * 100_000, "nested too deep", "right file"),
        ('{"name": "b", "volume_l": ' + "9" * 5000 + "}", "cannot be read", "plain numbers"),
        ("[]", "holds no list of 1 to 200 pots", "JSON of a step before"),
        ("3", "holds no list", "JSON of a step before"),
        (json.dumps([{"name": str(number)} for number in range(201)]), "holds no list", "JSON of a step before"),
        ('{"schema": "refinekit/2", "pots": []}', "schema is 'refinekit/2'", "again with this refinekit"),
        ('{"schema": "refinekit/1", "pots": []}', "has no pots", "leaves something in a vessel"),
        ('{"schema": "refinekit/1", "stopped": ["drop"], "pots": []}', "stopped for safety", "mend"),
        ('[{"name": "b"}, {"name": "b"}]', "pipe: [1].name 'b' is that of pipe: [0] too", "name of its own"),
        ('{"pots": [{"name": "b"}, {"name": "c", "volume_l": -2}]}', "pipe: pots[1].volume_l is -2", "0 or more"),
        (" " * 5_000_001, "over 5 MB", "right file"),
    ],
    ids=range(18),
)
def test_a_bad_text_is_refused_with_where_and_how_to_mend_it(text: str, what: str, cure: str) -> None:
    with pytest.raises(BadFile) as caught:
        read_pots(text, "pipe")
    assert what in caught.value.what
    assert cure in caught.value.cure


def test_the_json_of_a_stopped_step_hands_nothing_on() -> None:
    with pytest.raises(BadFile, match="stopped for safety, so it has no pots"):
        read_pots(to_json(dissolving(CHLORINE)), "pipe")


def test_pots_of_different_worlds_do_not_make_one_bench() -> None:
    three = {"low": 1, "likely": 2, "high": 3}
    pots = [
        {"name": "a", "inert_g": three, "cases": {"inert_g": [2, 1, 3]}},
        {"name": "b", "inert_g": three, "cases": {"inert_g": [2, 1, 3, 2]}},
    ]
    with pytest.raises(BadFile, match=r"\[3, 4\] cases"):
        read_pots(json.dumps(pots), "pipe")


@pytest.mark.parametrize("history", [{}, {"history": []}, {"history": [{"step": "note", "did": "left standing"}]}])
def test_an_acid_named_whole_is_acid_with_or_without_a_history(history: dict[str, Any]) -> None:
    pot = from_dict({"name": "old jar", "volume_l": 0.5, "dissolved_mol": {"HCl": 0.1, "CuCl2": 0.2}, **history})
    assert (likely(pot.free_acid_mol), likely(pot.mol("Cu^2+")), likely(pot.mol("Cl^-"))) == pytest.approx((0.1, 0.2, 0.5))
    assert likely(pot.mol("H2O")) == pytest.approx(500 / 18.015, rel=1e-3)
