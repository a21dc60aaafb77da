"""A plan that stops: sulfamic past its need, then ammonia into the gold liquor; the step at fault is named, put right it goes on.

Fulminating gold from gold(III), ammonium and alkali: Steinhauser et al., Gold Bulletin 41 (2008) 305. Sulfamic acid boiled in
water becomes ammonium hydrogen sulfate: published, see `refinekit sources`.
"""

import json
from pathlib import Path

import pytest

from tests.command import Run

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
AS_WRITTEN = (EXAMPLES / "ammonia-drop.toml").read_text(encoding="utf-8")
EXACT = AS_WRITTEN.replace('sulfamic     = "7.4 g"', 'taken        = "0.95/1/1"').replace("boiled-after = true\n", "")
CAUSTIC = AS_WRITTEN.replace('"ammonia"', '"caustic"')
PUT_RIGHT = EXACT.replace('"ammonia"', '"caustic"')


@pytest.fixture
def planned(refinekit: Run, tmp_path):
    def run(text, *more):
        path = tmp_path / "batch.toml"
        path.write_text(text, encoding="utf-8")
        return refinekit("plan", str(path), *more)

    return run


def stops(done):
    return [one for one in json.loads(done.stdout)["notices"] if one["level"] == "stop"]


def test_the_example_stops_at_the_drop_and_names_the_denox(refinekit: Run):
    done = refinekit("plan", str(EXAMPLES / "ammonia-drop.toml"), "--json")
    found = json.loads(done.stdout)
    assert (done.returncode, found["stopped"]) == (3, ["drop"])
    assert {(one["code"], one["step"]) for one in stops(done)} == {("fulminating-gold", "drop")}
    assert "denox" in {one["cause"] for one in stops(done)}


def test_the_screen_shouts_first_and_gives_no_figure_of_the_drop(refinekit: Run):
    done = refinekit("plan", str(EXAMPLES / "ammonia-drop.toml"))
    assert done.returncode == 3
    assert done.stderr.startswith("STOP  drop: ammonia with gold chloride makes fulminating gold")
    assert "set by: denox" in done.stderr
    assert "oxalic acid" not in done.stdout


def test_steps_before_the_stop_are_still_told(refinekit: Run):
    found = json.loads(refinekit("plan", str(EXAMPLES / "ammonia-drop.toml"), "--json").stdout)
    reckoned = [step["name"] for step in found["steps"] if step["reagents"] or step["answers"]]
    assert reckoned[-3:] == ["dissolve", "denox", "rinse 2"]


@pytest.mark.parametrize(
    ("text", "causes"), [(CAUSTIC, {"denox"}), (EXACT, {""})], ids=["caustic after twice", "exact, then ammonia"]
)
def test_half_put_right_is_not_right(planned, text, causes):
    done = planned(text, "--json")
    assert done.returncode == 3
    assert {one["code"] for one in stops(done)} == {"fulminating-gold"}
    assert {one["cause"] for one in stops(done)} <= causes | {"in the pot"}


def test_exact_sulfamic_and_caustic_goes_through(planned):
    done = planned(PUT_RIGHT, "--json")
    assert (done.returncode, stops(done)) == (0, [])
    drop = next(step for step in json.loads(done.stdout)["steps"] if step["name"] == "drop")
    assert any("oxalic" in reagent["name"] for reagent in drop["reagents"])


def test_no_typed_reason_lifts_fulminating_gold(planned):
    text = AS_WRITTEN + 'override = { fulminating-gold = "I have done it for years" }\n'
    done = planned(text, "--json")
    assert done.returncode == 3
    assert {one["override_reason"] for one in stops(done)} == {""}
