"""The browser and the site that it opens, once for all these tests of a process."""

import os

import pytest
from browser.serving import serve
from conftest import BROWSER, browser_lack
from playwright.sync_api import sync_playwright


@pytest.fixture(scope="session", autouse=True)
def a_browser_is_there():
    """Asked before the site is built."""
    lack = browser_lack()
    if lack:
        (pytest.fail if os.environ.get("GUDGEON_NEED_BROWSER") else pytest.skip)(lack)


@pytest.fixture(scope="session")
def chromium():
    # The flags keep a machine without a network quiet; --no-sandbox is for running as root in CI.
    flags = [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
    ]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=BROWSER, args=flags)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def address(site):
    server, url = serve(site)
    yield url
    server.shutdown()
