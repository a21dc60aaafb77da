"""Blanks filled by key beside the hood, saved by the page, and read back into the shop's book."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.show.sheets import EXAMPLES, ROOT, Open, Sheets, told

LOT = str(ROOT / "examples" / "edge-tabs.toml")


def typed(page: Any, words: str) -> None:
    """Go on to the next text box by key alone, and type."""
    for _ in range(200):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.type") == "text":
            break
    page.keyboard.type(words)


@pytest.fixture
def saved(opened: Open, tmp_path: Path) -> Path:
    """What the sheet of the example saves: its head and two pours written by key, all other blanks left open."""
    page, seen = opened("edge-tabs", accept_downloads=True)
    for words in ("12", "2026-03-05", "M", "Ann"):
        typed(page, words)
    page.locator("input.blank[data-step=leach]").nth(1).focus()  # the acid, after the water
    page.keyboard.type("845")  # printed beside it: 830 mL
    page.locator("input.blank[data-step=drop]").first.focus()
    typed(page, "5.4 g")  # the pour after the first quarter: all of it
    page.locator("#save button").focus()
    with page.expect_download() as download:
        page.keyboard.press("Enter")
    assert download.value.suggested_filename == "written.json"
    assert page.get_by_role("status").inner_text().startswith("2 of ")
    assert seen == []
    download.value.save_as(tmp_path / "written.json")
    return tmp_path / "written.json"


def events(folder: Path) -> dict[str, dict[str, Any]]:
    """What stands in the book, by step."""
    assert told(["book", "export", str(folder / "book.jsonl")])[0] == 0
    rows = [json.loads(line) for line in (folder / "book.jsonl").read_text(encoding="utf-8").splitlines()]
    return {row["data"]["step"]: row for row in rows if "step" in row.get("data", {})}


def test_what_is_written_on_the_sheet_is_in_the_book_and_the_rest_is_as_planned(
    saved: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("REFINEKIT_BOOK", str(tmp_path / "book.sqlite"))
    code, out, err = told(["log", LOT, "--written", str(saved), "--json"])
    assert code == 0, err
    differs = next(one["rows"] for one in json.loads(out)["tables"] if one["title"] == "Not as printed")
    assert [row[0] for row in differs] == ["leach", "drop"]
    assert [row[3] for row in differs] == ["845 mL", "5.4 g"]
    book = events(tmp_path)
    assert {(one["about"], one["at"], one["who"]) for one in book.values()} == {("12", "2026-03-05", "M")}
    assert "second person Ann" in book["lot"]["data"]["note"]
    used = {(step, row["key"]): row for step, one in book.items() for row in one["data"]["used"]}
    assert used["leach", "hydrochloric"]["used"] == 0.845
    assert used["drop", "smb"]["used"] == 5.4
    assert [key for key, row in used.items() if row.get("told")] == [("leach", "hydrochloric"), ("drop", "smb")]


def test_the_sheet_is_read_back_against_the_json_of_its_plan_too(
    saved: Path, tmp_path: Path, sheets: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("REFINEKIT_BOOK", str(tmp_path / "book.sqlite"))
    (tmp_path / "plan.json").write_text(json.dumps(sheets["edge-tabs"][1]), encoding="utf-8")
    code, _, err = told(["log", str(tmp_path / "plan.json"), "--written", str(saved)])
    assert code == 0, err
    used = {row["key"]: row["used"] for row in events(tmp_path)["drop"]["data"]["used"]}
    assert used["smb"] == 5.4


@pytest.mark.parametrize("name", [*EXAMPLES, "us"])
def test_every_blank_filled_as_printed_is_the_run_as_planned(
    name: str, opened: Open, sheets: Sheets, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("REFINEKIT_BOOK", str(tmp_path / "book.sqlite"))
    page, _ = opened(name, accept_downloads=True)
    page.evaluate("document.querySelectorAll('input.blank').forEach(box => { box.value = parseFloat(box.dataset.take) })")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save what was written").click()
    download.value.save_as(tmp_path / "written.json")
    lot = ROOT / "examples" / f"{'karat' if name == 'us' else name}.toml"
    words = ["log", str(lot), "--lot", "12", "--written", str(tmp_path / "written.json"), "--json"]
    code, out, err = told(words)
    if sheets[name][1]["stopped"]:
        assert code == 3
        assert not (tmp_path / "book.sqlite").exists() or events(tmp_path) == {}
        return
    assert code == 0, err
    assert [one["title"] for one in json.loads(out)["tables"]] == ["Written down"]
    planned = [row for step in sheets[name][1]["steps"] for row in step["reagents"] if row["counts"]]
    used = [row for one in events(tmp_path).values() for row in one["data"]["used"]]
    to_base = {"g": 1, "kg": 1000, "mL": 0.001, "L": 1}
    assert [row["used"] for row in used] == [pytest.approx(one["to_take"] * to_base[one["unit"]]) for one in planned]


def test_the_page_of_a_person_without_a_script_has_no_dead_button(browser: Any, sheets: Any) -> None:
    context = browser.new_context(offline=True, java_script_enabled=False)
    page = context.new_page()
    page.goto(sheets["edge-tabs"][0].as_uri())
    assert not page.get_by_role("button").is_visible()
    page.locator("input.blank").first.fill("845")
    page.locator("input[type=checkbox]").first.check()
    context.close()


def test_no_other_script_can_run_on_the_page(opened: Open) -> None:
    page, seen = opened("short")
    page.evaluate("""() => { const own = document.createElement('script'); own.textContent = 'document.title = "taken"';
    document.body.append(own) }""")
    assert page.title() != "taken"
    assert [text for text in seen if "Content Security Policy" in text]
