"""The sheets, made once, and a browser without a network to read them in."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from tests.show.browser import a_browser
from tests.show.sheets import HOSTILE, OTHERS, ROOT, Open, Sheets, made


class Made(dict[str, tuple[Path, dict[str, Any]]]):
    """The sheet and the JSON of each answer, made when it is first asked for."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder

    def __missing__(self, name: str) -> tuple[Path, dict[str, Any]]:
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("REFINEKIT_BOOK", str(self.folder / f"{name}.sqlite"))
            self[name] = made(self.folder, name, self.words(name))
        return self[name]

    def words(self, name: str) -> list[str]:
        """The command whose page is called so: an example in full, one as it is read at the bench, or another answer."""
        examples = ROOT / "examples"
        if name in OTHERS:
            return OTHERS[name]
        if name == "short":
            return ["plan", str(examples / "edge-tabs.toml")]
        if name == "us":
            return ["plan", str(examples / "karat.toml"), "--units", "us"]
        if name == "hostile":
            text = (examples / "edge-tabs.toml").read_text(encoding="utf-8")
            title = re.sub(r"^title = .*", lambda _: f"title = '''{HOSTILE}'''", text, flags=re.M)
            (self.folder / "hostile.toml").write_text(title, encoding="utf-8")
            return ["plan", str(self.folder / "hostile.toml"), "--full"]
        return ["plan", str(examples / f"{name}.toml"), "--full"]


@pytest.fixture(scope="session")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> Sheets:
    return Made(tmp_path_factory.mktemp("sheets"))


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
