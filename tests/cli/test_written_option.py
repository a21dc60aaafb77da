"""What a run sheet saved, handed to the book: of another plan, of no sheet at all, or twice told, it is refused in a sentence."""

import json
from pathlib import Path
from typing import Any

import pytest

from refinekit.cli.main import main

LOT = Path(__file__).resolve().parents[2] / "examples" / "edge-tabs.toml"


def sheet(rows: list[dict[str, Any]], **words: Any) -> dict[str, Any]:
    return {
        "schema": "refinekit-written/1",
        "title": "t",
        "lot": "12",
        "day": "2026-03-05",
        "who": "",
        "second": "",
        "weighed": rows,
        **words,
    }


def row(**words: Any) -> dict[str, Any]:
    return {
        "step": "drop",
        "row": 2,
        "what": "sodium metabisulfite",
        "to_weigh": "5.10 g",
        "unit": "g",
        "weighed": "5.4",
        **words,
    }


@pytest.fixture
def log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Any:
    monkeypatch.setenv("REFINEKIT_BOOK", str(tmp_path / "book.sqlite"))
    monkeypatch.chdir(tmp_path)

    def run(data: Any, *more: str, file: str = str(LOT)) -> tuple[int, str, str]:
        (tmp_path / "w.json").write_text(data if isinstance(data, str) else json.dumps(data), encoding="utf-8")
        with pytest.raises(SystemExit) as end:
            main(["log", *([file] if file else []), "--written", "w.json", *more])
        said = capsys.readouterr()
        return int(end.value.code or 0), said.out, said.err

    return run


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ("", "is not what a run sheet saves"),
        ("[1]", "is not what a run sheet saves"),
        ("[" * 100_000, "is not what a run sheet saves"),
        ({"schema": "refinekit/1", "steps": []}, "is not what a run sheet saves"),
        ({"schema": 5}, "is not what a run sheet saves"),
        (sheet([], schema="refinekit-written/2"), "this refinekit reads 'refinekit-written/1'"),
        (sheet([], weighed="all"), "has no list of what was weighed"),
        (sheet([row()] * 1001), "more blanks than any sheet"),
        (sheet([row(), row()]), "tells 'drop' row 2 twice"),
        (sheet(["drop"]), "has no blank at number 1"),
        (sheet([row(row=0)]), "does not tell the row of number 1"),
        (sheet([row(row=True)]), "does not tell the row of number 1"),
        (sheet([row(row=1e300)]), "does not tell the row of number 1"),
        (sheet([row(weighed=5.4)]), "under 'weighed'"),
        (sheet([row(weighed=" ")]), "has nothing under 'weighed'"),
        (sheet([row(weighed="5" * 300)]), "under 'weighed'"),
        (sheet([], lot=["12"]), "under 'lot'"),
        (sheet([], who="a\x1b[31m"), "under 'who'"),
        (sheet([row(step="drpo")]), "the plan has no 'sodium metabisulfite' at row 2 of 'drpo'"),
        (sheet([row(row=9)]), "at row 9 of 'drop'"),
        (sheet([row(to_weigh="5.00 g")]), "drop has 5.00 g of sodium metabisulfite on the sheet, 5.10 g of"),
        (sheet([row(what="oxalic acid")]), "of oxalic acid on the sheet"),
        (sheet([row(weighed="5.4 L")]), "5.4 L"),
        (sheet([row(weighed="5/5.4/6")]), "is a range"),
        (sheet([row(weighed="-1")]), "-1"),
        (sheet([row(weighed="plenty")]), "plenty"),
        (sheet([row(row=1, to_weigh="0.27 g")]), "has parts of the sodium metabisulfite of drop weighed"),
        (sheet([], day="5 March"), "'5 March' is no day"),
    ],
)  # fmt: skip
def test_a_file_that_cannot_be_a_sheet_of_this_plan_is_refused_and_nothing_is_written(
    log: Any, tmp_path: Path, data: Any, words: str
) -> None:
    code, out, err = log(data)
    assert code == 2
    assert words in err
    assert "\n  Try: " in err
    assert out == ""
    assert "Traceback" not in err
    assert not (tmp_path / "book.sqlite").exists() or log({**sheet([])})[0] == 0  # lot 12 is free yet


@pytest.mark.parametrize(
    ("more", "file", "words"),
    [
        (["--lot", "13"], str(LOT), "--lot '13' is not what the sheet says, '12'"),
        (["--at", "2026-03-06"], str(LOT), "--at '2026-03-06' is not what the sheet says"),
        (["--used", "drop: smb=5g"], str(LOT), "is told by --used and by the sheet"),
        ([], "", "a run sheet is of a plan, and none is named"),
        ([], "none.toml", "there is no file 'none.toml'"),
    ],
)
def test_a_sheet_that_does_not_agree_with_what_was_typed_is_refused(log: Any, more: list[str], file: str, words: str) -> None:
    code, _, err = log(sheet([row()]), *more, file=file)
    assert code == 2
    assert words in err


def test_a_bare_number_is_in_the_unit_that_stands_beside_the_blank(log: Any) -> None:
    code, out, _ = log(sheet([row(weighed="5.4")]), "--step", "drop")
    assert code == 0
    assert "5.4 g" in out


def test_a_sheet_in_troy_or_us_measure_is_of_the_same_plan(log: Any) -> None:
    ounces = row(step="leach", row=2, what="hydrochloric acid, 20 Be", to_weigh="28 fl oz", unit="fl oz", weighed="28.4")
    code, out, err = log(sheet([ounces]))
    assert code == 0, err
    assert "28.4 fl oz" in out


def test_a_decimal_comma_on_the_sheet_is_read_as_told_and_never_guessed(log: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    code, _, err = log(sheet([row(weighed="5,4")]))
    assert code == 2
    assert "a comma may be a decimal mark or a mark of thousands" in err
    monkeypatch.setenv("REFINEKIT_DECIMAL", "comma")
    code, _, err = log(sheet([row(weighed="5,4")]), "--json")
    assert code == 0, err
    monkeypatch.delenv("REFINEKIT_DECIMAL")
    with pytest.raises(SystemExit):
        main(["book", "export", "book.jsonl"])
    events = [json.loads(line) for line in Path("book.jsonl").read_text(encoding="utf-8").splitlines()]
    used = [one["used"] for event in events for one in event["data"].get("used", ()) if one["key"] == "smb"]
    assert used == [5.4]


def test_each_pour_of_one_reagent_is_read_back_by_itself_and_a_vessel_that_cannot_follow_is_told(log: Any) -> None:
    washes = [
        row(step="rinse", row=3, what="water", to_weigh="360 mL", unit="mL", weighed="400"),
        row(step="rinse", row=4, what="water", to_weigh="760 mL", unit="mL", weighed="700"),
    ]
    code, out, err = log(sheet(washes))
    assert code == 0, err
    assert "400 mL" in out
    assert "700 mL" in out
    assert "the vessel as planned" not in out
    acid = row(step="rinse", row=1, what="hydrochloric acid, 20 Be", to_weigh="24.0 mL", unit="mL", weighed="30")
    code, out, err = log(sheet([acid], lot="13"), "--json")
    assert code == 0, err
    assert "rinse: hydrochloric acid stands in the book as weighed, the vessel as planned" in out
