"""The plan: a whole run, step by step, against figures worked out independently; what stops it and what is left out."""

import json
from pathlib import Path

import pytest

from refinekit.bench.step import element_totals
from refinekit.errors import BadFile, CannotFollow
from refinekit.ranges import Range
from refinekit.shop.batch import read_batch
from refinekit.shop.plan import Plan, hangs_on, run_plan

DATA = Path(__file__).parents[1] / "data"
EXAMPLES = Path(__file__).parents[2] / "examples"
RUN = json.loads((DATA / "run_fingers.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def fingers() -> Plan:
    return run_plan(read_batch((DATA / "run_fingers.toml").read_text(encoding="utf-8"), "run_fingers.toml"))


def answer(plan: Plan, step: str, name: str) -> Range:
    return next(one for one in plan.done_steps() if one.name == step).answer(name)


def expected(step: str, name: str) -> object:
    row = next(one for one in RUN["steps"] if one["do"] == step)["answers"][name]
    return pytest.approx(row["value"], rel=max(row["tolerance_rel"], 1e-6))


LIKELY = [
    ("lot", "gold", "lot", "gold_g"),
    ("lot", "copper", "lot", "copper_g"),
    ("lot", "nickel", "lot", "nickel_g"),
    ("leach", "copper_salt", "leach", "copper_salt_g"),
    ("leach", "hcl_eaten_volume", "leach", "hcl_eaten_mL"),
    ("leach", "days", "leach", "days"),
    ("leach", "bath_free_hcl", "leach", "bath_free_hcl_mol_L"),
    ("leach", "bath_copper", "leach", "bath_copper_g_L"),
    ("rinse", "copper_left", "rinse foils", "copper_in_held_mg"),
    ("dissolve", "nitric_no_route", "dissolve", "nitric_no_route_mL"),
    ("dissolve", "nitric_first_charge", "dissolve", "nitric_first_charge_mL"),
    ("dissolve", "nitric_total", "dissolve", "nitric_added_total_mL"),
    ("dissolve", "nitric_left", "dissolve", "nitric_left_likely_mL"),
    ("denox", "sulfamic_added", "denox", "sulfamic_added_g"),
    ("denox", "n2o", "denox", "n2o_L"),
    ("denox", "nitric_still_left", "denox", "nitric_still_left_mL"),
    ("rinse 2", "gold_left", "filter", "pulp_gold_left_mg"),
    ("drop", "to_weigh", "drop", "smb_to_weigh_g"),
    ("drop", "gold_powder", "drop", "gold_powder_g"),
    ("melt", "button", "melt", "button_g"),
    ("melt", "gold_in_button", "melt", "button_fine_g"),
]


@pytest.mark.parametrize(("step", "name", "their_step", "their_name"), LIKELY, ids=lambda word: word)
def test_the_likely_run_comes_out(fingers: Plan, step: str, name: str, their_step: str, their_name: str) -> None:
    assert answer(fingers, step, name).likely == expected(their_step, their_name)


BOUNDS = [("lot", "gold", "fine_gold_g"), ("drop", "to_weigh", "smb_to_weigh_g")]


@pytest.mark.parametrize(("step", "name", "theirs"), BOUNDS, ids=lambda word: word)
@pytest.mark.parametrize("end", ["low", "likely", "high"])
def test_the_corners_bound_the_run(fingers: Plan, step: str, name: str, theirs: str, end: str) -> None:
    row = RUN["ranges"]["outputs"][theirs]
    assert getattr(answer(fingers, step, name), end) == pytest.approx(row[end], rel=row["tolerance_rel"][end])


def test_gold_is_all_there_at_the_end_in_every_case(fingers: Plan) -> None:
    gold = element_totals(next(one for one in fingers.done_steps() if one.name == "lot").outs)["Au"]
    kept = sum(pot.element_mol("Au") for pot in fingers.pots)
    assert kept == pytest.approx(gold, rel=1e-9)


def test_the_gold_hangs_most_on_the_thickness_of_the_plate(fingers: Plan) -> None:
    """20 to 50 microinch against 0.9 to 1.1 of the area: the wider guess moves more (arithmetic)."""
    button = answer(fingers, "melt", "gold_in_button").cases
    assert button is not None
    first, second = (name for name, _ in hangs_on(fingers, button)[:2])
    assert "thickness" in first
    assert "area" in second


@pytest.mark.parametrize("name", ["edge-tabs", "plated-pins", "no-nitric", "karat", "sterling"])
def test_every_example_goes_through(name: str) -> None:
    plan = run_plan(read_batch((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"), f"{name}.toml"))
    assert plan.stopped_at == ""
    assert any(pot.name.startswith(("button", "silver")) for pot in plan.pots)


def test_what_washed_the_powder_goes_with_the_waste() -> None:
    plan = run_plan(read_batch((EXAMPLES / "edge-tabs.toml").read_text(encoding="utf-8"), "edge-tabs.toml"))
    made = {pot.name for step in plan.done_steps() for pot in step.pots}
    assert "powder rinses" in made
    assert not [pot.name for pot in plan.pots if "rinses" in pot.name]


def test_a_step_that_cannot_follow_says_which_and_why() -> None:
    text = 'route = "as written"\n[lot]\nkind = "edge tabs"\nweight = "100 g"\narea = "300 cm2"\n[[step]]\ndo = "drop"\n'
    with pytest.raises(CannotFollow, match=r"lot.toml line 6, step 1 \(drop\)"):
        run_plan(read_batch(text, "lot.toml"))


def test_figures_that_cannot_be_read_are_told_together() -> None:
    text = '[lot]\nkind = "edge tabs"\nweight = "-4 g"\narea = "300 m"\n[shop]\nroom = "five"\n'
    with pytest.raises(BadFile) as caught:
        run_plan(read_batch(text, "lot.toml"))
    said = str(caught.value)
    assert "lot.toml line 3, weight" in said
    assert "lot.toml line 4, area" in said
    assert "lot.toml line 6, room" in said


def lime_and_caustic(shelf: str) -> list[float]:
    """Grams at most of lime and then of caustic, for one told liquor."""
    text = (
        'title = "spent"\nroute = "as written"\n[lot]\ngold = "1 g"\n'
        + shelf
        + '[[step]]\ndo = "neutralise"\nvolume = "10 L"\nfree-acid = "1 mol/L"\ncopper-strength = "20 g/L"\nreagent = "lime"\n'
        'second-reagent = "caustic"\n'
    )
    (step,) = (one for one in run_plan(read_batch(text, "spent.toml")).done_steps() if one.name == "neutralise")
    return [reagent.to_take for reagent in step.reagents if reagent.counts]


def test_alkali_is_weighed_by_how_good_the_bottle_on_the_shelf_is() -> None:
    pure = '[shelf.{}]\ngoodness = "100 %"\n'
    lime, caustic = lime_and_caustic(pure.format("lime") + pure.format("caustic"))
    poor, poor_too = lime_and_caustic('[shelf.lime]\ngoodness = "80 %"\n[shelf.caustic]\ngoodness = "50 %"\n')
    assert (poor, poor_too) == (pytest.approx(lime / 0.8), pytest.approx(caustic / 0.5))


def test_the_corners_picked_for_many_unknowns_bound_every_figure_as_all_of_them_do() -> None:
    """Brute force: all 8192 corners of 13 unknowns beside the few hundred a plan runs; the pours stay those of the plan."""
    import itertools

    import numpy as np

    from refinekit.facts.load import fact
    from refinekit.shop.plan import hear_all, reckon, walk
    from refinekit.shop.samples import figures

    heard = hear_all(read_batch((EXAMPLES / "plated-pins.toml").read_text(encoding="utf-8"), "plated-pins.toml"))
    plan = reckon(heard)
    count = len(plan.unknowns)
    assert count == 13
    every = np.array(list(itertools.product((0.0, 1.0), repeat=count)))
    walked = figures(walk(heard, heard.laid(np.vstack([plan.ends, every])), judged=False).steps)
    off = fact("practice/unknowns.corners.off").value
    for key, (_, cases) in figures(plan.steps).items():
        whole = walked[key][1][len(plan.ends) :]
        span = max(np.ptp(whole), 1e-9 * np.abs(whole).max())
        assert cases.min() - whole.min() <= off * span, key
        assert whole.max() - cases.max() <= off * span, key


def test_a_plan_of_many_unknowns_says_how_many_corners_it_ran() -> None:
    plan = run_plan(read_batch((EXAMPLES / "plated-pins.toml").read_text(encoding="utf-8"), "plated-pins.toml"))
    assert "13 unknowns have 8192 corners: those that lead any figure are run" in plan.assumed[-1]


def test_what_was_assumed_bears_the_name_of_its_step_and_nothing_is_of_a_step_left_out() -> None:
    """Three rinses hold liquor, each in its own way; with no nitric there is nothing to denox."""
    plan = run_plan(read_batch((EXAMPLES / "no-nitric.toml").read_text(encoding="utf-8"), "no-nitric.toml"))
    held = [line for line in plan.assumed if "liquor it holds, per gram" in line]
    assert held == ["rinse 2: liquor it holds, per gram: 2/3/4 mL/g", "rinse 3: liquor it holds, per gram: 0.3/0.45/0.6 mL/g"]
    assert not [line for line in plan.assumed if line.startswith("denox")]
