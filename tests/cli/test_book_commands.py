"""The record as its user meets it: three lots through one bath, a correction, a bleed, a drum, and what is asked of them."""

import json
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from refinekit.cli.main import main
from refinekit.show.document import Document
from tests.command import Run

DATA = Path(__file__).parents[1] / "data"
OLD = {step["do"]: step["answers"] for step in json.loads((DATA / "run_old_bath.json").read_text(encoding="utf-8"))["steps"]}
AREA12 = {case["id"]: case for case in json.loads((DATA / "worked" / "area12.json").read_text(encoding="utf-8"))["cases"]}
SETTLEMENT = json.loads((DATA / "worked" / "settlement.json").read_text(encoding="utf-8"))["cases"][0]
Ask = Callable[..., tuple[int, str, str]]


@pytest.fixture
def ask(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Ask:
    """A command run in this process, in a shop with a book of its own."""
    monkeypatch.setenv("REFINEKIT_BOOK", str(tmp_path / "book.sqlite"))
    monkeypatch.chdir(tmp_path)

    def run(line: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as end:
            main(shlex.split(line))
        said = capsys.readouterr()
        return int(end.value.code or 0), said.out, said.err

    return run


def answers(out: str) -> dict[str, Any]:
    return {name: row["likely"] for name, row in json.loads(out)["answers"].items()}


def rows(out: str, title: str) -> list[list[Any]]:
    return next(one["rows"] for one in json.loads(out)["tables"] if one["title"] == title)


SHOP = """
stock buy hydrochloric --volume 10L --strength "20 Be" --paid 42 --bottle A-1 --at 2026-03-01
bath start --bath-volume 5L --bath-copper 40g/L --bath-nickel 2g/L --bath-acid "3.5 mol/L" --at 2026-03-01
bath lot --lot 1 --copper 80g --nickel 8g --at 2026-03-05
log --lot 1 --bar 2.05g --fineness 996 --found filters=0.02g --sold 130 --at 2026-03-09
bath top-up --acid-volume 500mL --at 2026-03-10
bath lot --lot 2 --copper 90g --nickel 9g --at 2026-03-12
bath bleed --volume 800mL --at 2026-03-13
bath top-up --acid-volume 600mL --at 2026-03-13
bath lot --lot 3 --copper 70g --nickel 7g --at 2026-03-15
drum open "drum 1" --for "acid liquor" --size 60L --at 2026-03-15
drum add "drum 1" --from "spent bath" --at 2026-03-15
bath measure --free-acid "1.9/2/2.1 mol/L" --colour green --at 2026-03-16
"""


def test_three_lots_a_bleed_a_drum_and_one_correction(ask: Ask) -> None:
    for line in SHOP.strip().split("\n"):
        code, _, err = ask(line)
        assert code == 0, (line, err)
    code, out, _ = ask("bath --json --vessel 8L")
    wrong = answers(out)
    assert wrong["copper_a_lot"] == pytest.approx(0.99 * 80.0, rel=1e-3)  # a hundredth stays on the foils: common practice
    code, out, _ = ask("book events --json")
    number = next(row[0] for row in rows(out, "Events") if "lot 2 through it" in row[4])
    assert ask(f"bath lot --lot 2 --copper 60g --nickel 9g --at 2026-03-12 --corrects {number}")[0] == 0
    code, out, _ = ask("bath --json --vessel 8L")
    right = answers(out)
    # 30 g less copper came in; the bleed after it took its share of what was missing too (0.8 L of about 5.5 L)
    assert right["copper_a_lot"] == pytest.approx(0.99 * 70.0, rel=1e-3)
    assert right["bath_copper"] < wrong["bath_copper"]
    assert right["free_acid_measured"] == 2.0
    assert {"gold_locked_up", "lots_to_overflow", "lots_to_nickel_limit"} & right.keys() == {
        "lots_to_overflow",
        "lots_to_nickel_limit",
    }
    code, out, _ = ask('drum "drum 1" --json')
    (drum,) = rows(out, "Drums")
    assert drum[3]["likely"] == pytest.approx(0.8)
    assert "corrosive" in json.dumps(json.loads(out)["says"])
    code, out, _ = ask("stock hydrochloric --json")
    assert rows(out, "Shelf")[0][1]["likely"] == pytest.approx(10 - 1.1)
    assert ask("book check")[0] == 0
    assert ask("bath history --csv")[0] == 0


def test_ammonia_into_the_silver_pot_stops_and_nothing_is_written(ask: Ask, tmp_path: Path) -> None:
    pot = {"name": "silver pot", "volume_l": 2, "dissolved_mol": {"AgNO3": 0.5, "HNO3": 0.5}}
    liquor = {"name": "ammonium liquor", "volume_l": 1, "dissolved_mol": {"NH3": 1.0, "NH4Cl": 0.5}}
    (tmp_path / "pots.json").write_text(json.dumps([pot, liquor]), encoding="utf-8")
    assert ask("log --pot pots.json")[0] == 0
    for words in ("--add ammonia --volume 100mL", '--pour "ammonium liquor"'):
        code, out, err = ask(f'log --into "silver pot" {words}')
        assert code == 3
        assert "fulminating-silver" in err
        assert "Written down" not in out
    code, out, _ = ask("book --json")
    assert rows(out, "Events that stand") == [["vessel", {"low": 2.0, "likely": 2.0, "high": 2.0}]]


def test_a_room_can_be_asked_of_a_vessel_of_the_book(ask: Ask) -> None:
    start = "bath start --bath-volume 5.2L --bath-copper 95g/L --bath-cuprous 6g/L --bath-nickel 12g/L --bath-iron 1.5g/L"
    assert ask(f"{start} --bath-acid 1.4mol/L")[0] == 0
    code, out, err = ask('titrate --used "7.6 mL" --strength 1mol/L --sample 5mL --pot book:bath --json')
    assert code == 0, err
    assert answers(out)["free_acid"] == pytest.approx(OLD["read the bath"]["free_hcl_mol_L"]["value"], rel=0.01)
    code, _, err = ask("leach --copper 10g --pot book:bth")
    assert code == 2
    assert "did you mean 'bath'" in err


def test_the_weight_on_the_paper(ask: Ask) -> None:
    """Case 12.02: spent bath 4.6 L at 1.18, rinse water 9.0 L at 1.02, cake 0.9 kg, filters 0.15 kg."""
    ask('drum open "drum 1" --at 2026-03-01')
    for what, amount in (
        ("spent bath", "--volume 4.6L --density 1.18"),
        ("rinse water", "--volume 9L --density 1.02"),
        ("hydroxide cake", "--weight 0.9kg"),
        ("used filters", "--weight 0.15kg"),
    ):
        code, _, err = ask(f'drum add "drum 1" --what "{what}" {amount} --at 2026-03-02')
        assert code == 0, err
    code, out, _ = ask("manifest --json")
    assert answers(out)["weight"] == pytest.approx(AREA12["12.02"]["answers"]["total"]["value"], rel=1e-3)


def test_a_months_waste_stands_against_the_line(ask: Ask) -> None:
    """The drums of the old bath: 64 kg before, liquor of 1.08 kg/L and the cake."""
    drums = OLD["drums"]
    ask('drum open "drum 1" --at 2026-03-01')
    ask('drum add "drum 1" --what "what stood there before" --weight 64kg --at 2026-03-02')
    ask(f'drum add "drum 1" --what liquor --volume {drums["liquor_drum_L"]["value"]}L --density 1.08 --at 2026-03-03')
    ask(f'drum add "drum 1" --what cake --weight {OLD["neutralise"]["cake_kg_at_25pct"]["value"]}kg --at 2026-03-03')
    code, out, _ = ask('drum "drum 1" --json')
    ((month, kg, words),) = rows(out, "Waste by month")
    assert (month, kg["likely"]) == ("2026-03", pytest.approx(drums["month_total_kg"]["value"], rel=0.01))
    assert "under 100 kg: very small quantity generator" in words
    code, out, _ = ask('drum gone "drum 1" --weight 69kg --contractor "Ashby Haulage" --paper 771-A --at 2026-04-01')
    assert code == 0
    assert "771-A" in out
    assert ask('drum add "drum 1" --what cake --weight 1kg')[0] == 2


def test_a_plan_is_logged_with_only_the_differences_typed(ask: Ask, tmp_path: Path) -> None:
    example = Path(__file__).parents[2] / "examples" / "edge-tabs.toml"
    (tmp_path / "lot.toml").write_text(example.read_text(encoding="utf-8"), encoding="utf-8")
    code, out, err = ask('log lot.toml --lot 12 --used nitric=6.5mL --bottle nitric=H-2291 --source "shop A" --paid 80 --json')
    assert code == 0, err
    code, out, _ = ask("book events --about 12 --json")
    text = json.dumps(rows(out, "Events"))
    assert "nitric acid 6.5 mL (bottle H-2291)" in text
    assert "source shop A" in text
    code, _, err = ask("log lot.toml --lot 12")
    assert code == 2
    assert "lot 12 is in the book already" in err
    number = next(row[0] for row in rows(out, "Events") if row[4].startswith("drop"))
    assert (
        ask(f"log lot.toml --lot 12 --step drop --used smb=5.4g --test 'stannous clear' --colour pale --corrects {number}")[0]
        == 0
    )
    code, out, err = ask("pot book:bath --json")
    assert code == 0, err
    assert [pot["name"] for pot in json.loads(out)["pots"]] == ["bath"]
    assert ask("plan lot.toml --pot book:bath --json")[0] == 0


def test_a_steps_json_is_logged_against_the_vessels_it_took(ask: Ask, refinekit: Run, tmp_path: Path) -> None:
    ask("bath start --bath-volume 5L --bath-copper 40g/L --bath-acid 3mol/L")
    _, out, _ = ask("leach --pot book:bath --copper 50g --gold 1g --as-it-is --json")
    (tmp_path / "step.json").write_text(out, encoding="utf-8")
    assert ask("log step.json --lot 4 --who M")[0] == 0
    _, out, _ = ask("bath --json")
    assert answers(out)["bath_copper"] == pytest.approx((200 + 0.99 * 50) / 5, rel=5e-3)
    _, out, _ = ask("book events --about 4 --json")
    assert [row[2] for row in rows(out, "Events")] == ["step"]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("log", "there is nothing to log"),
        ("log --lot 12 --fineness 998", "a fineness needs its bar"),
        ("log --bar 2g", "which lot it is of is not told"),
        ("log --add salt --weight 3g", "where it went is not told"),
        ("log --into pot", "tell what went in"),
        ("log --into pot --add saltt --weight 3g", "did you mean"),
        ("log --into pot --add salt", "is weighed"),
        ("log --lot 1 --found fliters=2g", "did you mean 'filters'"),
        ("log --lot 1 --found filters", "is not NAME=AMOUNT"),
        ("log --lot 1 --bar 2g --corrects x", "is no event"),
        ("log --lot 1 --bar 2g --at 2026-13-01", "is no day"),
        ("bath bled", "did you mean 'bleed'"),
        ("bath bleed --volume 1L", "there is no bath 'bath' in the book"),
        ("drum add d", "the book knows no drum 'd'"),
        ("drum paint d", "cannot be asked to 'paint'"),
        ("stock buy nitric", "how much is not told"),
        ("stock buy", "what to buy is not told"),
        ("book void 3", "without a word why"),
        ("manifest", "there is no book at"),
    ],
)
def test_what_cannot_be_written_down_is_told_with_its_cure(ask: Ask, line: str, words: str) -> None:
    code, _, err = ask(line)
    assert code == 2
    assert words in err
    assert "\n  Try: " in err


def test_a_hostile_note_is_shown_harmlessly(ask: Ask) -> None:
    ask("log --lot 1 --bar 2g --note $'=1+1'")
    note = "\x1b[31m" + "x" * 5000 + "\u202e"
    code, _, err = ask(f"log --lot '=cmd' --bar 2g --note {shlex.quote(note)}")
    assert code == 0, err
    for look in ("", "--csv", "--json"):
        code, out, _ = ask(f"book events {look}")
        assert code == 0
        assert "\x1b" not in out
        assert "\u202e" not in out
    code, out, _ = ask("book events --csv")
    assert "\n=cmd" not in out
    assert ",=cmd" not in out


def test_the_book_is_found_by_the_option_too(ask: Ask, tmp_path: Path) -> None:
    assert ask("stock buy nitric --volume 1L --book other.sqlite")[0] == 0
    assert (tmp_path / "other.sqlite").exists()
    assert ask("stock --book other.sqlite")[0] == 0
    assert Document.of("book").exit_code == 0


def test_the_year_page_and_every_report_in_every_look(ask: Ask, tmp_path: Path) -> None:
    example = Path(__file__).parents[2] / "examples" / "edge-tabs.toml"
    (tmp_path / "lot.toml").write_text(example.read_text(encoding="utf-8"), encoding="utf-8")
    assert ask("log lot.toml --lot 1 --source 'shop A' --paid 60 --at 2026-03-02")[0] == 0
    assert ask("log --lot 1 --bar 2.05g --fineness 996 --found filters=20mg --sold 140 --at 2026-03-04")[0] == 0
    ask("drum open d --at 2026-03-05")
    assert ask('drum add d --from "waste liquor" --at 2026-04-05')[0] == 0
    for what in ("year 2026", "yields", "losses", "gold", "reagents", "waste", "cost", "lot 1"):
        for look in ("", "--json", "--csv"):
            code, out, err = ask(f"report {what} {look}")
            assert code == 0, err
            assert out.strip()
    code, out, _ = ask("report year 2026 --json")
    assert answers(out)["found"] == pytest.approx(2.05 * 0.996 + 0.02)
    assert ask("report yields --chart yields.svg")[0] == 0
    assert (tmp_path / "yields.svg").read_text(encoding="utf-8").startswith("<")
    code, _, err = ask("report yeilds")
    assert code == 2
    assert "did you mean 'yields'" in err
    code, out, _ = ask("lot --lot 1 --json")
    assert answers(out)["gold_found"] == pytest.approx(2.05 * 0.996 + 0.02)


def test_a_lots_account_and_settlement_from_its_events(ask: Ask, tmp_path: Path) -> None:
    """The old bath's lot, its bar less the gold hung and lost; case 12.03: 12.40 g at 996.5, 100 a gram, 98.5 % paid."""
    _, out, _ = ask('lot --gold "1.6028/3.48435/5.01747 g" --json')
    (tmp_path / "lot.json").write_text(out, encoding="utf-8")
    assert ask("log lot.json --lot 5")[0] == 0
    bar_g = (5.09 * 0.998 - 2.64) / 0.998
    found = "--found slag=0.015g --found filters=0.02g --found stock-pot=0.006g --found returned=0.025g"
    assert ask(f"log --lot 5 --bar {bar_g}g --fineness 998 {found}")[0] == 0
    code, out, err = ask("account --lot 5 --sigma 0.550924g --json")
    assert code == 0, err
    said, right = answers(out), OLD["account"]
    assert said["expected"] == pytest.approx(right["expected"]["value"], rel=0.005)
    assert said["found"] == pytest.approx(right["found"]["value"], rel=0.002)
    assert said["sigmas"] == pytest.approx(right["sigmas"]["value"], rel=0.02)
    assert "not proven" in out
    ask("log --lot 6 --bar 12.40g --fineness 996.5")
    code, out, _ = ask('account --lot 6 --price "100 /g" --payable "98.5 %" --json')
    assert answers(out)["paid"] == pytest.approx(SETTLEMENT["answers"]["paid"]["value"], rel=0.0005)


def test_shop_factors_are_shown_and_used_only_when_asked_for(ask: Ask, tmp_path: Path) -> None:
    example = Path(__file__).parents[2] / "examples" / "edge-tabs.toml"
    (tmp_path / "lot.toml").write_text(example.read_text(encoding="utf-8"), encoding="utf-8")
    for number in (1, 2):
        assert ask(f"log lot.toml --lot {number} --used nitric=1.5mL --source A --at 2026-03-0{number}")[0] == 0
        assert ask(f"log --lot {number} --bar 2.2g --fineness 998 --at 2026-03-0{number}")[0] == 0
    code, out, err = ask("report factors --json")
    assert code == 0, err
    said = {row[0]: row[2] for row in rows(out, "Shop factors")}
    assert said["NO share"] == 2.0
    assert said["thickness, A"] == 2.0
    code, out, err = ask("plan lot.toml --shop-factors --source A --json")
    assert code == 0, err
    assert any(line.startswith("shop factor, NO share") for line in json.loads(out)["assumed"])
    code, out, _ = ask("plan lot.toml --json")
    assert not any("shop factor" in line for line in json.loads(out)["assumed"])


def test_the_check_tells_where_the_ledger_does_not_close(ask: Ask, tmp_path: Path) -> None:
    ask("log --into pot --add salt --weight 10g")
    code, out, _ = ask("book check")
    assert code == 0
    assert "closes: nothing went out of a vessel that did not come in" in out
    moves = [{"at": "2026-03-05", "kind": "vessel", "about": "pot", "data": {}, "ops": [{"v": "pot", "mol": {"Na^+": -1.0}}]}]
    (tmp_path / "typed.jsonl").write_text("\n".join(map(json.dumps, moves)), encoding="utf-8")
    assert ask("book import typed.jsonl")[0] == 0
    code, out, err = ask("book check")
    assert code == 2
    assert "more went out of 'pot' than came in" in err
    assert "whole: every event is as it was written" in out


def test_a_bleed_is_stopped_by_what_stands_in_the_vessel_it_goes_to(ask: Ask) -> None:
    assert ask("bath start --bath-volume 5L --bath-copper 40g/L --bath-acid 3mol/L")[0] == 0
    assert ask("log --into 'old scrubber' --add bleach --volume 1L")[0] == 0
    code, _, err = ask("bath bleed --volume 1L --into 'old scrubber'")
    assert code == 3
    assert "[chlorine]" in err
    assert ask("bath bleed --volume 1L")[0] == 0
    _, out, _ = ask("bath --json")
    assert answers(out)["bath_volume"] == pytest.approx(4.0)


def test_several_finds_in_one_text_and_the_nitric_of_a_lot_against_what_its_foils_need(ask: Ask) -> None:
    example = Path(__file__).parents[2] / "examples" / "edge-tabs.toml"
    assert ask(f'log "{example}" --lot 1 --used "dissolve: nitric=2.4mL, drop: smb=5g" --at 2026-03-02')[0] == 0
    code, _, err = ask("log --lot 1 --bar 1.9g --fineness 985 --found filters=0.02g,slag=5mg --at 2026-03-12")
    assert code == 0, err
    assert [row[0] for row in rows(ask("report losses 2026 --json")[1], "Losses by stream")] == ["filters", "slag"]
    used = {row[0]: row for row in rows(ask("report reagents 2026 --json")[1], "Reagents against theory")}
    # Au + 4 H+ + NO3- + 4 Cl- -> AuCl4- + NO + 2 H2O takes a mole of nitric to a mole of gold, and more for the
    # share that leaves as NO2: common practice, no source. 68 % acid holds 15.2 mol/L (CRC table of densities).
    foils_g = (1.27, 3.89)  # the least and the most gold that the plan of the example brings to the beaker
    least_l, most_l = (grams / 196.967 / 15.2 for grams in foils_g)
    assert used["nitric acid"][1] == pytest.approx(0.0024)
    assert least_l < used["nitric acid"][3] < 1.6 * most_l
    assert used["nitric acid"][4] == pytest.approx(0.0024 / used["nitric acid"][3])
    assert used["nitric acid"][4] > 1  # against the need of the foils, not against the most that may ever be poured


def test_a_month_without_metal_is_drawn_at_nothing(ask: Ask) -> None:
    for number, month, grams in ((1, 1, 1.5), (2, 4, 2.5)):
        assert ask(f"log --lot {number} --bar {grams}g --fineness 1000 --at 2026-0{month}-09")[0] == 0
    (chart,) = json.loads(ask("report year 2026 --json")[1])["charts"]
    (found,) = chart["series"]
    assert found["x"] == [0.5, 1.5, 1.5, 2.5, 2.5, 3.5, 3.5, 4.5]
    assert found["y"] == [1.5, 1.5, 0.0, 0.0, 0.0, 0.0, 2.5, 2.5]
