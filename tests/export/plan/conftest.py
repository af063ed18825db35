import shutil

import pytest


@pytest.fixture(scope="session")
def chromium():
    """A real browser of the system; what needs one is skipped by name where there is none."""
    sync_api = pytest.importorskip("playwright.sync_api")
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if found is None:
        pytest.skip("no Chromium on this machine: sudo apt-get install chromium")
    switches = [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
        "--disable-component-update",
    ]
    with sync_api.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=found, args=switches)
        yield browser
        browser.close()
