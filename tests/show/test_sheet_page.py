"""The run sheet in a browser with the network off: nothing fetched, nothing cut off, everything reached by key and by ear."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from refinekit.show import sheet
from tests.show.sheets import EXAMPLES, HOSTILE, OTHERS, Open, made

A4_PX = 718
"""Width of an A4 page within its margins, at 96 px to the inch [px]."""
SCRIPT = (Path(sheet.__file__).parent / "sheet.js").read_text(encoding="utf-8")
CONTRAST = ("short", "ammonia-drop", *OTHERS)
"""Pages whose contrast is measured word by word, which is slow: between them they have every look there is."""
PAGES = (*EXAMPLES, "short", *OTHERS)


def overflow(page: Page) -> int:
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


@pytest.mark.parametrize("name", PAGES)
def test_a_sheet_is_quiet_whole_and_clean_on_screen_phone_and_paper(name: str, opened) -> None:
    page, seen = opened(name)
    assert overflow(page) == 0
    rules = {"resultTypes": ["violations"], "rules": {"color-contrast": {"enabled": name in CONTRAST}}}
    assert Axe().run(page, options=rules).response["violations"] == []
    page.set_viewport_size({"width": 600, "height": 900})  # 1200 px at 200 % zoom
    assert overflow(page) == 0
    page.set_viewport_size({"width": 320, "height": 900})
    assert overflow(page) == 0
    page.set_viewport_size({"width": A4_PX, "height": 1000})
    page.emulate_media(media="print")
    assert overflow(page) == 0
    assert seen == []


def test_a_tick_box_is_reached_and_ticked_by_key(opened) -> None:
    page, _ = opened("edge-tabs")
    box = page.locator("input[type=checkbox]").first
    page.locator("nav a").last.focus()
    page.keyboard.press("Tab")
    assert box.evaluate("box => box === document.activeElement")
    page.keyboard.press("Space")
    assert box.is_checked()


def test_a_hostile_lot_name_is_words(opened) -> None:
    page, seen = opened("hostile")
    assert page.locator("h1").inner_text() == HOSTILE
    assert page.locator("script").all_text_contents() == [SCRIPT]
    assert page.locator("img").count() == 0
    assert page.title() != "taken"
    assert seen == []


@pytest.mark.parametrize("name", OTHERS)
def test_a_hostile_word_is_words_on_every_other_page_and_none_has_a_script(name: str, opened: Open) -> None:
    page, seen = opened(name)
    assert page.locator("script, img, iframe, object, form").count() == 0
    assert page.title() != "taken"
    assert (HOSTILE in page.locator("body").inner_text()) == (name == "log")
    assert seen == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_cautions_come_first_and_every_picture_is_told_in_words(name: str, opened, sheets) -> None:
    page, _ = opened(name)
    first = page.locator("main > :first-child h2").inner_text()
    assert first.startswith("Cautions")
    for figure in page.locator("figure").all():
        words = figure.locator("figcaption").inner_text()
        assert len(words) > 20
        assert figure.locator("svg[role=img] > desc").text_content() == words
    if sheets[name][1]["stopped"]:  # nothing to follow to its end
        return
    titles = page.locator(".figure-title").all_inner_texts()
    assert any("goes, widths to scale" in title for title in titles)
    assert any("pH against" in title for title in titles)
    assert any(title.startswith("Gas of each step") for title in titles)


def test_a_stopped_step_has_no_quantities_on_its_sheet(tmp_path: Path) -> None:
    batch = 'title = "spent"\nroute = "as written"\n[lot]\ngold = "1 g"\n[[step]]\ndo = "neutralise"\nvolume = "4 L"\n'
    (tmp_path / "spent.toml").write_text(batch + 'free-acid = "1 mol/L"\ncopper = "20 g"\ngold = "0.5 g"\nreagent = "caustic"\n')
    page_file, data = made(tmp_path, "spent", ["plan", str(tmp_path / "spent.toml"), "--full"])
    text = page_file.read_text(encoding="utf-8")
    assert data["stopped"]
    assert "STOPPED FOR SAFETY" in text
    assert 'class="take"' not in text


@pytest.mark.parametrize("name", ["karat", "hostile"])
def test_an_option_within_a_sentence_is_not_broken_behind_its_dashes(name: str, opened: Open) -> None:
    page, _ = opened(name)
    options = page.locator(".option")
    assert "--metal" in options.all_inner_texts()
    assert set(options.evaluate_all("all => all.map(one => one.getClientRects().length)")) == {1}
