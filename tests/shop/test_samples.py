"""A plan over samples: percentiles of a run worked out independently, seeds, links, and what cannot be drawn."""

import itertools
import json
from pathlib import Path

import numpy as np
import pytest

from refinekit.errors import BadFile, BadQuantity
from refinekit.shop import samples as drawing
from refinekit.shop.batch import read_batch
from refinekit.shop.plan import Heard, Plan, hear_all, reckon, run_plan
from refinekit.shop.sampled_step import sampled_step
from refinekit.shop.samples import Sampled, Tally, sample
from tests.shop.second_lot import SECOND_LOT

DATA = Path(__file__).parents[1] / "data"
RUN = json.loads((DATA / "run_fingers.json").read_text(encoding="utf-8"))["ranges"]["outputs"]
FINGERS = (DATA / "run_fingers.toml").read_text(encoding="utf-8")
SMALL = """
route = "as written"
[lot]
kind = "edge tabs"
weight = "100 g"
area = "380/400/440 cm2"
gold = { thickness = "20/30/50 uin" }
nickel = { thickness = "3/4/5 micron" }
copper = { thickness = "30/35/40 micron" }
"""


def heard(text: str) -> tuple[Heard, Plan]:
    all_of_it = hear_all(read_batch(text, "lot.toml"))
    return all_of_it, reckon(all_of_it)


@pytest.fixture(scope="module")
def fingers() -> Sampled:
    return sample(*heard(FINGERS), 20_000)


FIGURES = [
    ("lot", "gold", "fine_gold_g", 1.0),
    ("dissolve", "nitric no route", "nitric_first_charge_mL", 0.8),
    ("drop", "to weigh", "smb_to_weigh_g", 1.0),
    ("dissolve", "nitrogen dioxide", "no2_L", 1.0),
    ("dissolve", "nitrogen dioxide at most", "no2_L_all_no2", 1.0),
]


@pytest.mark.parametrize(("step", "name", "theirs", "times"), FIGURES, ids=lambda word: str(word))
@pytest.mark.parametrize("percent", ["P5", "P50", "P95"])
def test_the_percentiles_of_the_run_come_out(
    fingers: Sampled, step: str, name: str, theirs: str, times: float, percent: str
) -> None:
    """20 000 triangular samples of the same run, drawn and reckoned by other code."""
    spread, row = fingers.spread(step, name), RUN[theirs]
    assert times * getattr(spread, percent.lower()) == pytest.approx(row[percent], rel=row["tolerance_rel"][percent])
    assert times * spread.mean == pytest.approx(row["mean"], rel=0.02)


SECOND = (
    SECOND_LOT
    + """
[[step]]
do = "leach"
volume = "6 L"
free-acid = "3 mol/L"
as-it-is = true
air = "2.1 L/min"
depth = "0.22 m"
transfer = "0.03"
copper-left = "0.005/0.01/0.02"
nickel-left = "0.01/0.02/0.04"
gold-on-boards = "0.008"
filings = "0.05/0.1/0.25 g"
[[step]]
do = "rinse"
what = "foils"
[[step]]
do = "dissolve"
hydrochloric-volume = "60 mL"
water = "40 mL"
nitric-ratio = "1.45/1.6/1.8"
no-share = "0.6/0.8/0.95"
"""
)
"""The lot and the gold step of another run; the bath before them leaves the same on the foils."""


@pytest.fixture(scope="module")
def second() -> Sampled:
    return sample(*heard(SECOND), 20_000)


@pytest.mark.parametrize(
    ("step", "name", "theirs", "times"), [one for one in FIGURES if one[0] != "drop"], ids=lambda word: str(word)
)
@pytest.mark.parametrize("percent", ["P5", "P50", "P95"])
def test_the_percentiles_of_a_second_run_come_out(
    second: Sampled, step: str, name: str, theirs: str, times: float, percent: str
) -> None:
    rows = json.loads((DATA / "run_second_lot_ranges.json").read_text(encoding="utf-8"))["outputs"]
    spread, row = second.spread(step, name), rows[theirs]
    assert times * getattr(spread, percent.lower()) == pytest.approx(row[percent], rel=row["tolerance_rel"][percent])
    assert times * spread.mean == pytest.approx(row["mean"], rel=0.02)


def test_no_sample_of_the_run_passes_its_corners(fingers: Sampled) -> None:
    assert [(one.step, one.name) for one in fingers.spreads if one.beyond] == []


def test_the_corners_are_the_ends_of_every_plain_plan_of_the_box() -> None:
    """Brute force: each of 16 corners written as a file of its own, without a range in it."""
    with_leach = SMALL + '\n[[step]]\ndo = "leach"\nair = "2 L/min"\ndepth = "18 cm"\ntransfer = "0.03"\n'
    with_leach += 'copper-left = "0.01"\nnickel-left = "0.01"\n'
    ranges = {"380/400/440": ("380", "440"), "20/30/50": ("20", "50"), "3/4/5": ("3", "5"), "30/35/40": ("30", "40")}
    names = [("lot", "gold"), ("lot", "copper_per_gold"), ("leach", "days"), ("leach", "gold_in_foils"), ("leach", "hcl_eaten")]
    found: dict[tuple[str, str], list[float]] = {name: [] for name in names}
    for ends in itertools.product(*ranges.values()):
        text = with_leach
        for span, end in zip(ranges, ends, strict=True):
            text = text.replace(span, end)
        steps = {step.name: step for step in run_plan(read_batch(text, "lot.toml")).done_steps()}
        for step, name in names:
            found[step, name].append(steps[step].answer(name).likely)
    whole = {step.name: step for step in run_plan(read_batch(with_leach, "lot.toml")).done_steps()}
    for step, name in names:
        span = whole[step].answer(name)
        assert (span.low, span.high) == pytest.approx((min(found[step, name]), max(found[step, name])), rel=1e-9), name


def test_the_same_seed_gives_the_same_figures_and_another_does_not() -> None:
    small = heard(SMALL)
    first, again, other = (sample(*small, 500, seed=seed).spread("lot", "gold") for seed in (3, 3, 4))
    assert first == again
    assert first.p95 != other.p95
    assert first.p95 == pytest.approx(other.p95, rel=0.02)


def test_many_chunks_tell_what_one_tells(monkeypatch: pytest.MonkeyPatch) -> None:
    small = heard(SMALL)
    whole = sample(*small, 10_000).spread("lot", "gold")
    monkeypatch.setattr(drawing, "CHUNK", 2_500)
    parts = sample(*small, 10_000).spread("lot", "gold")
    for name in ("p5", "p50", "p95", "mean", "sd"):
        assert getattr(parts, name) == pytest.approx(getattr(whole, name), rel=0.01)


def test_percentiles_counted_in_steps_are_those_of_all_samples() -> None:
    values = np.random.default_rng(5).lognormal(0.0, 2.0, size=60_000)
    chunks = [np.sort(part) for part in np.split(values, 6)]
    tally = Tally(chunks[0])
    for chunk in chunks:
        tally.add(chunk)
    for percent in (5.0, 50.0, 95.0):
        assert tally.quantile(percent) == pytest.approx(np.percentile(values, percent), rel=0.002)


def test_what_is_weighed_does_not_hang_on_the_samples() -> None:
    """The corners run along with every chunk: a pour in the samples' run is the plain plan's."""
    all_of_it, plan = heard(FINGERS)
    draws = drawing.draws_of(all_of_it.batch, all_of_it.asks, all_of_it.tolds, all_of_it.unknowns)
    even = drawing.layers(400, len(draws.names), np.random.default_rng(1))
    numbers = all_of_it.laid(plan.ends)
    for name, values in draws.values(even).items():
        numbers[name] = np.concatenate([np.asarray(numbers[name]), values])
    with_samples = drawing.walk(all_of_it, numbers, judged=False)
    pours = [one.to_take for step in with_samples.steps if step.done for one in step.done.step.reagents]
    plain = [one.to_take for step in plan.done_steps() for one in step.reagents]
    assert pours == pytest.approx(plain, rel=1e-9)


def unknowns(lines: str) -> str:
    return f"{SMALL}\n[unknowns]\n{lines}\n"


def test_a_lognormal_thickness_has_its_median_at_the_likely_figure() -> None:
    text = unknowns('shapes = { "gold thickness" = "lognormal" }').replace("20/30/50", "20/40/80").replace("380/400/440", "400")
    spread = sample(*heard(text), 4000).spread("lot", "gold")
    assert spread.p50 == pytest.approx(spread.corners.likely, rel=0.01)


def test_thicknesses_told_to_be_together_rise_together() -> None:
    apart, tied = (
        sample(*heard(text.replace("380/400/440", "400")), 4000)
        for text in (SMALL, unknowns('together = [["nickel thickness", "copper thickness"]]'))
    )
    copper, nickel = (tied.first["lot", name] for name in ("copper", "nickel"))
    assert np.corrcoef(copper, nickel)[0, 1] == pytest.approx(1.0, abs=1e-6)
    assert abs(np.corrcoef(apart.first["lot", "copper"], apart.first["lot", "nickel"])[0, 1]) < 0.1


def test_corners_of_figures_that_are_together_are_only_those_that_can_be() -> None:
    """Gold at 20 with copper at 30 and 50 with 40: copper per gold then spans 1.2 to 0.8 of its parts, not 30/50 to 40/20."""
    tied = run_plan(read_batch(unknowns('together = [["gold thickness", "copper thickness"]]'), "lot.toml"))
    apart = run_plan(read_batch(SMALL, "lot.toml"))
    ratio, wide = (next(step for step in plan.done_steps()).answer("copper_per_gold") for plan in (tied, apart))
    assert ratio.high / ratio.low == pytest.approx((30 / 20) / (40 / 50), rel=1e-9)
    assert wide.high / wide.low == pytest.approx((40 / 20) / (30 / 50), rel=1e-9)
    assert len(tied.unknowns) == len(apart.unknowns) - 1


def test_a_link_to_one_of_several_together_is_a_link_to_all() -> None:
    text = unknowns(
        'together = [["nickel thickness", "copper thickness"]]\nlinked = [["gold thickness", "nickel thickness", 0.9]]'
    )
    found = sample(*heard(text.replace("380/400/440", "400")), 4000).first
    assert np.corrcoef(found["lot", "gold"], found["lot", "copper"])[0, 1] > 0.85


BAD = (
    ('shape = "gaussian"', "is no shape"),
    ('shapes = { "gold thikness" = "normal" }', "did you mean 'lot: gold thickness'"),
    ('shapes = { "thickness" = "normal" }', "may be several"),
    ('shapes = { "weight" = "normal" }', "told as one figure"),
    ('linked = [["gold thickness", "nickel thickness", 1.5]]', "goes from -1 to 1"),
    ('linked = [["gold thickness", "gold thickness", 0.5]]', "linked with itself"),
    (
        'together = [["gold thickness", "nickel thickness"]]\nlinked = [["gold thickness", "nickel thickness", 0.5]]',
        "already",
    ),
    ('linked = ["gold thickness"]', "no list of two names and a number"),
    ('together = ["gold thickness"]', "no list of groups"),
    ('shpe = "normal"', "did you mean 'shape'"),
)


@pytest.mark.parametrize(("lines", "said"), BAD, ids=lambda word: word[:30])
def test_a_way_of_drawing_that_cannot_be_is_told_with_its_line(lines: str, said: str) -> None:
    with pytest.raises(BadFile) as caught:
        sample(*heard(unknowns(lines)), 200)
    assert said in str(caught.value)
    assert "line " in str(caught.value)


def test_links_that_contradict_each_other_are_told_with_what_would_do() -> None:
    """0.9, 0.9 and -0.9 among three cannot be; -0.5 with 0.5 and 0.5 is where the determinant is nothing."""
    lines = (
        'linked = [["gold thickness", "nickel thickness", 0.9], ["nickel thickness", "copper thickness", 0.9],'
        ' ["gold thickness", "copper thickness", -0.9]]'
    )
    with pytest.raises(BadFile, match="contradict each other") as caught:
        sample(*heard(unknowns(lines)), 200)
    factor = float(caught.value.cure.split(" by ")[1].split(" ")[0])
    shrunk = lines.replace("0.9", f"{0.9 * factor:.4f}")
    assert sample(*heard(unknowns(shrunk)), 200).count == 200


@pytest.mark.parametrize("count", [0, 99, 2**40])
def test_a_number_of_samples_that_is_of_no_use_is_refused(count: int) -> None:
    with pytest.raises(BadQuantity, match="samples are"):
        sample(*heard(SMALL), count)


def test_a_figure_that_may_be_nothing_cannot_be_lognormal() -> None:
    text = unknowns('shapes = { "nickel thickness" = "lognormal" }').replace("3/4/5", "0/4/5")
    with pytest.raises(BadFile, match="cannot be lognormal"):
        sample(*heard(text), 200)


def test_a_lot_without_ranges_has_nothing_to_draw() -> None:
    text = SMALL.replace("380/400/440", "400").replace("20/30/50", "30").replace("3/4/5", "4").replace("30/35/40", "35")
    assert sample(*heard(text), 200).spreads == ()
    assert sampled_step(*heard(text), 200).tables == ()


def test_what_to_measure_names_the_thickness_of_the_gold_and_what_it_would_bring() -> None:
    """The thickness is told to half and double, its assay to a tenth: what is left of the gold is the assay and the area."""
    step = sampled_step(*heard(SMALL), 4000)
    moves = {row[:2]: row for table in step.tables if table.title == "What moves each answer" for row in table.rows}
    assert ("lot, gold", "lot.gold-thickness") in moves
    rows = next(table for table in step.tables if table.title == "What to measure next").rows
    do, answer, now, then, left = rows[0]
    assert (answer, "assay" in str(do)) == ("lot, gold", True)
    # closed form: the thickness' P5 and P95 are 20 + sqrt(15) and 50 - sqrt(30), 30 % each way of its median 32.7; afterwards two
    # deviations are a tenth of it, and the area (380/400/440) has one of 3.1 %: 1.645 x sqrt(5.0^2 + 3.1^2) = 9.7 %
    assert figure(now) == pytest.approx(31, abs=1)
    assert figure(then) == pytest.approx(9.7, abs=0.5)
    assert left == "###......."  # a third of it, to one sign in ten
    assert f"{do}: would narrow lot, gold from {now} to {then}" in dict(step.says)["measure"]


def figure(text: object) -> float:
    return float(str(text).removeprefix("±").removesuffix(" %"))


def test_a_stopped_plan_is_sampled_only_up_to_the_stop() -> None:
    all_of_it, plan = heard(SMALL + "".join(f'\n[[step]]\ndo = "{verb}"\n' for verb in ("leach", "dissolve", "neutralise")))
    assert "neutralise" in plan.stopped_at
    step = sampled_step(all_of_it, plan, 200)
    titles = [table.title for table in step.tables]
    assert "dissolve, P5, P50 and P95" in titles
    assert not [title for title in titles if "neutralise" in title]
