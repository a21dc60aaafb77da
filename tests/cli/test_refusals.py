"""What this bench does not take: refused at the lot, in a batch file and by name, with who takes it. Common practice."""

import json
from pathlib import Path

import pytest

from tests.command import Run

LOT = (Path(__file__).resolve().parents[2] / "examples/plated-pins.toml").read_text(encoding="utf-8")
TAKERS = ("contractor", "plater", "smelter", "supplier", "fire service")
REFUSED = [
    ("cyanide", "hydrogen-cyanide"),
    ("plating racks", "hydrogen-cyanide"),
    ("gold stripper", "hydrogen-cyanide"),
    ("mercury relays", "poison"),
    ("amalgam", "poison"),
    ("cadmium plate", "poison"),
    ("old black capacitors", "poison"),
    ("unknown powder", "poison"),
    ("etching cream", "poison"),
]
TAKEN = ["solder tails", "kovar pins", "silver plate"]
PINS = ("lot", "--kind", "pins", "--weight", "300 g", "--grade", "1.5/2.5/4g/kg")


@pytest.mark.parametrize(("tag", "code"), REFUSED)
def test_the_lot_is_refused_with_who_takes_it(refinekit: Run, tag: str, code: str) -> None:
    done = refinekit(*PINS, "--tags", tag, "--json")
    stops = [one for one in json.loads(done.stdout)["notices"] if one["level"] == "stop"]
    assert (done.returncode, {one["code"] for one in stops}) == (3, {code})
    assert any(taker in one["do"] for one in stops for taker in TAKERS)
    assert json.loads(done.stdout)["answers"] == {}


@pytest.mark.parametrize("tag", TAKEN)
def test_other_tags_are_not(refinekit: Run, tag: str) -> None:
    assert refinekit(*PINS, "--tags", tag).returncode == 0


@pytest.mark.parametrize("tag", ["cyanide", "mercury relays", "unknown powder", "etching cream"])
def test_a_batch_of_it_is_stopped_at_the_lot(refinekit: Run, tmp_path: Path, tag: str) -> None:
    path = tmp_path / "batch.toml"
    path.write_text(LOT.replace('"solder tails"', f'"{tag}"'), encoding="utf-8")
    done = refinekit("plan", str(path), "--json")
    assert done.returncode == 3
    assert "lot" in json.loads(done.stdout)["stopped"]


@pytest.mark.parametrize("word", ["cyanide", "KCN", "mercury", "hydrofluoric acid", "chlorine cylinder", "white powder", "NaN3"])
def test_by_name_it_is_refused_too(refinekit: Run, word: str) -> None:
    done = refinekit("keep-apart", word, "water")
    assert done.returncode == 0
    assert "NO: keep them apart" in done.stdout
    assert any(taker in done.stderr for taker in TAKERS)
