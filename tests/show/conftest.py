"""The sheets, made once, and a browser without a network to read them in."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from tests.show.browser import a_browser
from tests.show.sheets import EXAMPLES, HOSTILE, OTHERS, ROOT, Open, Sheets, made


@pytest.fixture(scope="session")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> Sheets:
    """The sheet and the JSON of every example, with every figure; of a batch with a hostile name; of other answers."""
    folder = tmp_path_factory.mktemp("sheets")
    text = (ROOT / "examples" / "edge-tabs.toml").read_text(encoding="utf-8")
    title = re.sub(r"^title = .*", lambda _: f"title = '''{HOSTILE}'''", text, flags=re.M)
    (folder / "hostile.toml").write_text(title, encoding="utf-8")
    plans = {name: ROOT / "examples" / f"{name}.toml" for name in EXAMPLES} | {"hostile": folder / "hostile.toml"}
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("REFINEKIT_BOOK", str(folder / "book.sqlite"))
        found = {name: made(folder, name, ["plan", str(path), "--full"]) for name, path in plans.items()}
        found["short"] = made(folder, "short", ["plan", str(ROOT / "examples" / "edge-tabs.toml")])
        return found | {name: made(folder, name, words) for name, words in OTHERS.items()}


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with a_browser() as one:
        yield one


@pytest.fixture
def opened(browser: Browser, sheets: Sheets) -> Iterator[Open]:
    """Opens a sheet; what it says on the console, or asks of a network, is listed beside it."""
    contexts: list[BrowserContext] = []

    def open_page(name: str, width: int = 1200, **more: Any) -> tuple[Page, list[str]]:
        context = browser.new_context(viewport={"width": width, "height": 900}, offline=True, **more)
        contexts.append(context)
        page, seen = context.new_page(), list[str]()
        page.on("console", lambda message: seen.append(message.text))
        page.on("pageerror", lambda error: seen.append(str(error)))
        page.on("request", lambda request: seen.append(request.url) if not request.url.startswith(("file:", "data:")) else None)
        page.goto(sheets[name][0].as_uri())
        return page, seen

    yield open_page
    for context in contexts:
        context.close()
