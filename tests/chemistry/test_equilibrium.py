"""What somebody at the bench would notice of the equilibrium: doses, floors, refusals, and that nothing gets lost."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refinekit.chemistry.equilibrium.bases import base, mixture
from refinekit.chemistry.equilibrium.constants import GROUPS, Constants
from refinekit.chemistry.equilibrium.curve import curve
from refinekit.chemistry.equilibrium.dose import dose_to_ph
from refinekit.chemistry.equilibrium.liquor import Liquor, totals_from_ions
from refinekit.chemistry.equilibrium.names import charge, component
from refinekit.chemistry.equilibrium.spread import dose_spread
from refinekit.chemistry.equilibrium.state import at_ph, ph_of
from refinekit.chemistry.equilibrium.window import best_window
from refinekit.chemistry.species import parse
from refinekit.errors import BadQuantity, CannotFollow, Leak, OutOfRange, UnknownName
from refinekit.facts.load import table

YARDSTICKS = {"Cu": 3.38, "Ni": 3.98, "Zn": 2.61, "Pb": 0.69, "Cd": 0.69, "Ag": 0.43}  # 40 CFR 433.15, daily maximum
CUPRIC = Liquor({"Cu": 0.3, "Ni": 0.05, "Zn": 0.03, "Fe(III)": 0.05, "Cl": 1.41})


def liquors(n: int) -> Liquor:
    rng = np.random.default_rng(7)
    metals = {name: rng.uniform(0.001, 0.3, n) for name in ("Cu^2+", "Ni^2+", "Zn^2+", "Fe^3+")}
    chloride = sum(charge(name) * total for name, total in metals.items()) + rng.uniform(0.05, 1.5, n)
    return Liquor({**metals, "Cl^-": chloride})


# ---- balances


def test_ten_thousand_liquors_close_to_a_billionth():
    dose = dose_to_ph(liquors(10_000), "NaOH", 9.5)
    assert dose.converged.all()
    assert dose.reachable.all()
    assert dose.state.mass_imbalance.max() < 1e-9
    assert dose.state.charge_imbalance.max() < 1e-9


def test_every_component_is_dissolved_or_in_a_solid():
    dose = dose_to_ph(CUPRIC, "Ca(OH)2", 9.0)
    solids = {solid.key: solid for solid in dose.state.constants.solids}
    for name, total in dose.state.totals_mol_per_l.items():
        fallen = sum(solids[key].to.get(name, 0.0) * amount for key, amount in dose.state.phases_mol_per_l.items())
        assert dose.state.dissolved_mol_per_l[name] + fallen == pytest.approx(total, rel=1e-9), name


def test_species_add_up_to_what_is_dissolved_and_carry_no_charge():
    state = at_ph(CUPRIC, 4.0)
    assert sum(charge(name) * amount for name, amount in state.species_mol_per_l.items())[0] == pytest.approx(
        -_inert(state), abs=1e-9
    )
    copper = sum(parse(name).elements.get("Cu", 0) * amount for name, amount in state.species_mol_per_l.items())
    assert copper[0] == pytest.approx(state.dissolved_mol_per_l["Cu^2+"][0], rel=1e-9)


def _inert(state):
    """The charge brought in from outside: what is missing from the species, by their totals and the solids' acid."""
    solids = {solid.key: solid for solid in state.constants.solids}
    fallen = sum(solids[key].to.get("H^+", 0.0) * amount for key, amount in state.phases_mol_per_l.items())
    of = {one.formula: one.of.get("H^+", 0.0) for one in state.constants.complexes} | {"H^+": 1.0}
    acid = sum(of.get(name, 0.0) * amount for name, amount in state.species_mol_per_l.items())
    return CUPRIC.acid_mol_per_l[0] - (acid + fallen)[0]


def test_one_liquor_alone_is_the_same_as_in_a_row():
    many = dose_to_ph(liquors(50), "NaOH", 9.0)
    alone = dose_to_ph(liquors(50).rows(np.array([17])), "NaOH", 9.0)
    assert alone.base_mol_per_l[0] == pytest.approx(many.base_mol_per_l[17], rel=1e-9)


def test_dose_put_back_gives_the_ph():
    dose = dose_to_ph(CUPRIC, "NaOH", np.array([2.0, 4.0, 6.5, 9.0, 11.5]))
    back = curve(CUPRIC, "NaOH", doses_mol_per_l=dose.base_mol_per_l)
    assert back.ph == pytest.approx(dose.ph, abs=1e-6)


@settings(max_examples=60, deadline=None, database=None, derandomize=True)
@given(
    st.dictionaries(
        st.sampled_from(["Cu", "Ni", "Zn", "Cd", "Pb", "Fe(III)", "Al", "SO4", "NH4"]),
        st.floats(1e-5, 0.5),
        min_size=1,
        max_size=4,
    ),
    st.floats(0.01, 2.0),
    st.sampled_from(["NaOH", "KOH", "Ca(OH)2"]),
)
def test_dose_rises_with_the_ph_asked_for(totals, acid, reagent):
    named = {component(name): total for name, total in totals.items()}
    chloride = max(acid + sum(charge(name) * total for name, total in named.items()), 0.001)
    drawn = curve(Liquor({**named, "Cl^-": chloride}), reagent, phs=np.linspace(2.5, 12.0, 60))
    known = drawn.base_mol_per_l[np.isfinite(drawn.base_mol_per_l)]
    assert len(known) > 10
    assert (np.diff(known) > -1e-9).all()


# ---- what the sludge and the floor look like


def test_copper_from_chloride_takes_a_hydroxide_and_a_half():
    copper, acid = 1.0, 0.5
    spread = dose_spread(Liquor({"Cu": copper, "Cl": 2 * copper + acid}), "NaOH", 9.0)
    assert spread.base_mol_per_l.likely == pytest.approx(acid + 1.5 * copper, rel=0.005)
    assert spread.safe_base_mol_per_l == pytest.approx(acid + 2 * copper, rel=0.005)
    assert 1.13 < spread.safe_base_mol_per_l / spread.base_mol_per_l.likely < 1.26


def test_lead_never_meets_its_yardstick_by_hydroxide():
    window = best_window(Liquor({"Pb": 0.0003, "Cl": 0.1}), YARDSTICKS)
    assert window.never["Pb"].all()
    assert np.isnan(window.all_meet_low).all()


def test_cadmium_and_zinc_have_no_common_ph_in_strong_brine():
    window = best_window(Liquor({"Zn": 0.03, "Cd": 0.002, "Cl": 1.5}), YARDSTICKS)
    assert np.isnan(window.all_meet_low).all()
    thin = best_window(Liquor({"Zn": 0.001, "Ni": 0.001, "Cl": 0.02}), YARDSTICKS)
    assert thin.all_meet_low[0] < thin.ph[0] < thin.all_meet_high[0]


def test_ammonium_holds_half_a_gram_of_copper():
    state = dose_to_ph(Liquor({"Cu": 0.01574, "NH4": 0.2, "SO4": 0.1, "Cl": 0.43147}), "NaOH", 9.5).state
    assert state.metals_mg_per_l()["Cu"][0] == pytest.approx(530, rel=0.05)
    assert state.species_mol_per_l["Cu(NH3)4^2+"][0] > 0.5 * state.dissolved_mol_per_l["Cu^2+"][0]


@pytest.mark.parametrize(("metal", "best", "too_far"), [("Zn", 10.0, 13.0), ("Al", 6.5, 10.0), ("Pb", 10.2, 13.0)])
def test_too_much_base_brings_metal_back(metal, best, too_far):
    ions = {"Zn": 2, "Al": 3, "Pb": 2}
    state = at_ph(Liquor({metal: 0.01, "Cl": 0.01 * ions[metal] + 0.1}), [best, too_far])
    at_best, beyond = state.metals_mg_per_l()[metal]
    assert beyond > 10 * at_best


def test_lime_makes_gypsum_and_caustic_does_not():
    drum = Liquor({"Cu": 0.047, "SO4": 0.3, "Cl": 0.8})
    assert dose_to_ph(drum, "Ca(OH)2", 9.0).state.phases_mol_per_l["gypsum"][0] == pytest.approx(0.29, abs=0.02)
    assert "gypsum" not in dose_to_ph(drum, "NaOH", 9.0).state.phases_mol_per_l


def test_aged_sludge_leaves_less_nickel():
    fresh = at_ph(CUPRIC, 9.0).metals_mg_per_l()["Ni"][0]
    aged = at_ph(CUPRIC, 9.0, Constants.default(aged=True)).metals_mg_per_l()["Ni"][0]
    assert 30 < fresh / aged < 120  # 60 to 100 times by the sources' constants


def test_silver_stays_down_as_chloride_until_ammonia_takes_it():
    state = at_ph(Liquor({"Ag": 0.01, "Cl": 0.02}), 7.0)
    assert state.phases_mol_per_l["AgCl"][0] == pytest.approx(0.01, rel=1e-3)
    assert (
        at_ph(Liquor({"Ag": 0.01, "Cl": 0.5, "NH4": 0.4}), 10.5).metals_mg_per_l()["Ag"][0]
        > 100 * state.metals_mg_per_l()["Ag"][0]
    )


def test_least_and_most_lie_around_the_likely():
    spread = dose_spread(CUPRIC, "NaOH", 9.0)
    for span in [spread.base_mol_per_l, *spread.metals_mg_per_l.values()]:
        assert span.low <= span.likely <= span.high
    assert spread.metals_mg_per_l["Cu"].high > 30 * spread.metals_mg_per_l["Cu"].likely


def test_a_strong_liquor_says_which_way_it_leans():
    assert dose_spread(Liquor({"Cu": 0.001, "Cl": 0.1}), "NaOH", 9.0).leans == ()
    said = " ".join(dose_spread(Liquor({"Cu": 1.26, "Ni": 0.1, "Cl": 3.92}), "Ca(OH)2", 9.0).leans)
    assert "Davies" in said
    assert "more Ni" in said


def test_warm_liquor_says_what_was_not_corrected():
    warm = dose_spread(CUPRIC, "NaOH", 9.0, temperature_k=313.15)
    assert "Cu(NH3)4^2+" in warm.not_corrected
    assert "copper hydroxide" not in warm.not_corrected
    assert dose_spread(CUPRIC, "NaOH", 9.0).not_corrected == ()


def test_warm_water_holds_more_hydroxide():
    """pKw 13.995 at 25 degC, 13.535 at 40 degC (CRC Handbook, from memory)."""
    cold, warm = (ph_of(Liquor({"Na": 0.01}), Constants.default(temperature_k=t)).ph[0] for t in (298.15, 313.15))
    assert cold - warm == pytest.approx(13.995 - 13.535, abs=0.02)


# ---- weak bases, carbon dioxide, mixtures, two stages


def test_lime_stops_near_eleven_and_a_half_in_calcium_chloride():
    for strength, least, most in [(1.0, 11.5, 11.9), (2.0, 11.0, 11.8)]:
        dose = dose_to_ph(Liquor({"Cl": strength}), "Ca(OH)2", 12.4)
        assert not dose.reachable[0]
        assert dose.converged[0]
        assert least < dose.highest_ph[0] < most
        with pytest.raises(CannotFollow, match=r"it stops at 1[01].*\n  Try: take caustic"):
            dose.or_refuse()


def test_a_liquor_whose_balance_is_not_found_gives_no_dose():
    dose = dose_to_ph(Liquor({"Cl": 1.0}), "NaOH", 7.0)
    with pytest.raises(CannotFollow, match=r"no balance was found for 1 of 1 liquors"):
        replace(dose, converged=np.array([False])).or_refuse()


@pytest.mark.parametrize(("weak", "least", "most"), [("NaHCO3", 6.5, 8.5), ("Mg(OH)2", 8.5, 10.5), ("Na2CO3", 9.0, 11.5)])
def test_a_weak_base_is_refused_where_it_cannot_go(weak, least, most):
    dose = dose_to_ph(Liquor({"Cl": 1.0}), weak, 12.5)
    assert not dose.reachable[0]
    assert np.isnan(dose.base_mol_per_l[0])
    assert least < dose.highest_ph[0] < most


def test_bicarbonate_in_a_still_pot_takes_far_more_than_the_plain_rule():
    liquor = Liquor({"Cu": 0.005, "Cl": 0.11})
    still, aired = (dose_to_ph(liquor, "NaHCO3", 7.0, open_to_atm=air).base_mol_per_l[0] for air in (0.0, 0.00042))
    assert aired == pytest.approx(0.11, rel=0.05)
    assert still > 2.5 * aired


def test_soda_ash_for_a_bath_full_of_copper_is_found_where_the_first_look_misses_it():
    """Cu2(OH)3Cl takes a hydroxide and a half to the copper: (0.36 + 1.5 x 1.92) / 2 is 1.62 mol/L, the gas gone."""
    dose = dose_to_ph(Liquor({"Cu": 1.92, "Cl": 4.2}), "Na2CO3", 6.5)
    assert dose.reachable[0]
    assert dose.converged[0]
    assert dose.base_mol_per_l[0] == pytest.approx(1.62, rel=0.03)


def test_a_pot_open_to_the_air_loses_all_the_gas_a_shut_one_keeps():
    liquor = Liquor({"Cl": 1.0})
    shut = dose_to_ph(liquor, "Na2CO3", 7.0, vent_atm=0.0)
    still = dose_to_ph(liquor, "Na2CO3", 7.0)
    aired = dose_to_ph(liquor, "Na2CO3", 7.0, open_to_atm=0.00042)
    assert shut.co2_lost_mol_per_l[0] == 0
    assert still.co2_lost_mol_per_l[0] == pytest.approx(0.46, abs=0.05)
    assert aired.state.carbon_dioxide_taken_mol_per_l[0] == pytest.approx(-0.5, abs=0.01)
    assert shut.base_mol_per_l[0] > still.base_mol_per_l[0] > aired.base_mol_per_l[0]


def test_a_mixture_does_the_work_of_its_parts():
    caustic, lime = (dose_to_ph(CUPRIC, name, 9.0).base_mol_per_l[0] for name in ("NaOH", "Ca(OH)2"))
    half = dose_to_ph(CUPRIC, mixture({"NaOH": 1.0, "Ca(OH)2": 1.0}), 9.0).base_mol_per_l[0]
    alkali = half / 2 * 1 + half / 2 * 2
    assert min(caustic, 2 * lime) * 0.98 < alkali < max(caustic, 2 * lime) * 1.02


def test_two_stages_end_where_they_should():
    lime = dose_to_ph(CUPRIC, "Ca(OH)2", 5.0)
    after = CUPRIC.plus(base("Ca(OH)2").adds, lime.base_mol_per_l)
    assert ph_of(after).ph[0] == pytest.approx(5.0, abs=1e-6)
    caustic = dose_to_ph(after, "NaOH", 9.5)
    whole = after.plus(base("NaOH").adds, caustic.base_mol_per_l)
    assert ph_of(whole).ph[0] == pytest.approx(9.5, abs=1e-6)


def test_portions_past_the_saturation_leave_lime_lying():
    drawn = curve(Liquor({"Cl": 0.5}), "Ca(OH)2", doses_mol_per_l=np.array([0.1, 0.26, 0.4, 0.6]))
    assert drawn.dissolves.tolist() == [True, True, False, False]
    assert drawn.state.phases_mol_per_l["Ca(OH)2"][3] > 0.2


# ---- a pot's ions


def test_a_pots_ions_become_totals():
    ions = {
        "Cu^2+": 1.0,
        "CuCl2^-": 0.2,
        "AgCl2^-": 0.001,
        "H^+": 2.0,
        "Cl^-": 3.799,
        "NH4^+": 0.1,
        "SO4^2-": 0.05,
        "H2O": 500.0,
        "H2O2": 0.3,
    }
    ions["Cl^-"] = 2.0 + 2.0 + 0.1 - 0.2 - 0.001 - 0.1
    liquor = totals_from_ions(ions, 10.0)
    assert liquor.totals_mol_per_l["Cu^+"][0] == pytest.approx(0.02)
    assert liquor.totals_mol_per_l["Cl^-"][0] == pytest.approx((ions["Cl^-"] + 0.402) / 10)
    assert liquor.acid_mol_per_l[0] == pytest.approx(0.2)


def test_a_pot_of_many_cases_keeps_them():
    liquor = totals_from_ions({"Cu^2+": np.array([1.0, 2.0]), "Cl^-": np.array([3.0, 5.0]), "H^+": 1.0}, np.array([10.0, 20.0]))
    assert len(liquor) == 2
    assert liquor.totals_mol_per_l["Cu^2+"] == pytest.approx([0.1, 0.1])


def test_gold_in_the_pot_is_named_and_not_left_out():
    ions = {"AuCl4^-": 0.01, "Sn^2+": 0.01, "H^+": 0.01, "Cl^-": 0.02}
    with pytest.raises(UnknownName, match=r"AuCl4\^-, Sn\^2\+\n  Try: take it out first"):
        totals_from_ions(ions, 1.0)
    carried = totals_from_ions({"AuCl4^-": 0.01, "H^+": 0.5, "Cl^-": 0.49}, 1.0, idle=["AuCl4^-"])
    assert dose_to_ph(carried, "NaOH", 7.0).base_mol_per_l[0] == pytest.approx(0.5, rel=1e-3)


def test_a_pot_whose_charges_do_not_come_out_is_a_leak():
    with pytest.raises(Leak, match=r"carry 1 mol/L of charge"):
        totals_from_ions({"Cl^-": 1.0, "H^+": 2.0}, 1.0)


def test_what_the_figures_leave_out_is_said():
    assert any("tin" in text for text in at_ph(Liquor({"Sn(IV)": 0.01, "Cl": 0.2}), 8.0).caveats())
    assert "Sn" not in at_ph(Liquor({"Sn(IV)": 0.01, "Cl": 0.2}), 8.0).metals_mg_per_l()


# ---- bad input


def test_a_target_under_the_liquors_own_ph_takes_nothing_and_says_so():
    dose = dose_to_ph(Liquor({"Na": 1.0, "Cl": 0.5}), "NaOH", 5.0)
    assert dose.already_past[0]
    assert dose.base_mol_per_l[0] == 0
    assert dose.state.ph[0] > 13
    with pytest.raises(CannotFollow, match=r"past pH 5 before any NaOH goes in\n  Try: give a higher pH"):
        dose.or_refuse()


@pytest.mark.parametrize(
    ("make", "error", "text"),
    [
        (lambda: Liquor({"Cu": -0.1}), OutOfRange, "is negative"),
        (lambda: Liquor({"Cu": 80.0}), OutOfRange, "more than a litre of water can hold"),
        (lambda: Liquor({"Cu": float("nan")}), BadQuantity, "not a finite figure"),
        (lambda: Liquor({"Unobtainium": 1.0}), UnknownName, "no equilibrium constants for 'Unobtainium'"),
        (lambda: Liquor({"H^+": 1.0}), UnknownName, "charges of the rest"),
        (lambda: Liquor({"Cu": 0.1, "Cu^2+": 0.1}), BadQuantity, "given twice"),
        (lambda: Liquor({"Cu": np.ones(3), "Cl": np.ones(2)}), BadQuantity, "lengths"),
        (lambda: dose_to_ph(CUPRIC, "NaOH", 17.0), OutOfRange, "pH 17.0 is outside"),
        (lambda: dose_to_ph(CUPRIC, "NH3", 9.0), UnknownName, "never ammonia"),
        (lambda: mixture({"NaOH": -1.0}), OutOfRange, "negative"),
        (lambda: totals_from_ions({"Cl^-": 1.0}, 0.0), OutOfRange, "more than nothing"),
        (lambda: Constants.default(temperature_k=450.0), OutOfRange, "outside 0 to 100 degC"),
        (lambda: Constants.default(also=["fairy dust"]), UnknownName, "no solid 'fairy dust'"),
        (lambda: curve(CUPRIC, "NaOH"), BadQuantity, "one of the two rows"),
        (lambda: curve(CUPRIC, "NaOH", doses_mol_per_l=[0.2, 0.1]), BadQuantity, "must rise"),
        (lambda: curve(CUPRIC, "NaOH", doses_mol_per_l=[-0.2, 0.1]), OutOfRange, "negative"),
        (lambda: best_window(CUPRIC, {"Au": 1.0}), BadQuantity, "has a yardstick"),
        (lambda: best_window(CUPRIC, {"Cu": 0.0}), OutOfRange, "over 0 mg/L"),
    ],
)
def test_bad_input_ends_in_one_clear_line(make, error, text):
    with pytest.raises(error, match=text):
        make()


# ---- facts


@pytest.mark.parametrize("row", [r for g in GROUPS for r in table("equilibrium/complexes")[g]], ids=lambda row: row["formula"])
def test_every_complex_balances(row):
    assert sum(charge(name) * count for name, count in row["of"].items()) == charge(row["formula"])
    assert _atoms(row["of"]) == pytest.approx(_atoms({row["formula"]: 1}))


@pytest.mark.parametrize("row", table("equilibrium/phases")["phase"], ids=lambda row: row["key"])
def test_every_solid_balances(row):
    assert sum(charge(name) * count for name, count in row["dissolves_to"].items()) == 0
    assert _atoms(row["dissolves_to"]) == pytest.approx(_atoms({row["formula"]: 1}))


def _atoms(of):
    atoms: dict[str, float] = {}
    for name, count in of.items():
        for element, number in parse(name).elements.items():
            atoms[element] = atoms.get(element, 0.0) + count * number
    return {element: number for element, number in atoms.items() if number}


def test_further_sources_of_a_spread_exist():
    rows = [r for g in GROUPS for r in table("equilibrium/complexes")[g]] + table("equilibrium/phases")["phase"]
    assert {key for row in rows for key in row.get("spread", [])} <= set(table("sources"))
    assert [row for row in rows if "low" in row and not row["low"] <= row["likely"] <= row["high"]] == []
