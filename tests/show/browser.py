"""A browser without a network, for the tests of pages."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
QUIET = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync",
         "--disable-default-apps", "--no-first-run", "--disable-dev-shm-usage")  # fmt: skip


@contextmanager
def a_browser() -> Iterator[Browser]:
    """Chromium of this machine; where there is none, the cure."""
    found = next(filter(None, map(shutil.which, NAMES)), None)
    assert found, "the tests of pages need Chromium on the PATH: run tests/prepare.sh"
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=found, args=list(QUIET))
        try:
            yield browser
        finally:
            browser.close()
