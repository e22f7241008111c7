"""A headless Chromium for the tests of the page: Debian's own, since a browser fetched by a test is another program."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, sync_playwright

NEEDED = "OPTIMISER_BROWSER"
"""Set where the tests must not be left out for want of a browser or Java."""

_QUIET = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run", "--disable-sync")


def program(*names: str) -> str:
    """The path of the first of these programs; the test is left out, with the reason, where there is none."""
    found = next((path for name in names if (path := shutil.which(name))), None)
    if found is None:
        reason = f"{names[0]} is not installed: apt-get install {names[0]}"
        if os.environ.get(NEEDED):
            pytest.fail(reason)
        pytest.skip(reason)
    return found


@contextmanager
def chromium() -> Iterator[Browser]:
    """The browser, as long as it is wanted."""
    path = program("chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(_QUIET))
        yield browser
        browser.close()
