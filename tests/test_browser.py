"""The first notebook in a real browser: through the menu, by keyboard, as a fabricator would.

Needs chromium and its driver; without them it is skipped.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import exhaust
from exhaust.job.editing import mistakes_in, with_values
from exhaust.tables import shipped

selenium = pytest.importorskip("selenium")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
DRIVER = shutil.which("chromedriver")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not (CHROMIUM and DRIVER), reason="no chromium or no chromedriver here"),
]

WIDTH, HEIGHT = 1400, 1000
NOISE = ",".join(
    f"[data-mime-type='application/vnd.jupyter.{kind}']" for kind in ("error", "stderr")
)
DEMO = (shipped("data") / "jobs" / "v8-parallel-x.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """JupyterLab on a copy of the notebooks, with this very package; its address."""
    folder = tmp_path_factory.mktemp("lab")
    shutil.copytree(shipped("notebooks"), folder / "books")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [
        *(sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root"),
        *(f"--ServerApp.port={port}", "--ServerApp.port_retries=0", "--IdentityProvider.token="),
        f"--ServerApp.root_dir={folder / 'books'}",
    ]
    own = {
        "PYTHONPATH": str(Path(exhaust.__file__).parents[1]),
        "JUPYTER_CONFIG_DIR": str(folder / "config"),
        "JUPYTER_DATA_DIR": str(folder / "data"),
        "JUPYTER_RUNTIME_DIR": str(folder / "runtime"),
        "JUPYTERLAB_SETTINGS_DIR": str(folder / "settings"),
    }
    asks = folder / "settings" / "@jupyterlab" / "apputils-extension"
    asks.mkdir(parents=True)
    quiet = '{"fetchNews": "false", "checkForUpdates": false}'
    (asks / "notification.jupyterlab-settings").write_text(quiet)
    with (folder / "log").open("wb") as log:
        server = subprocess.Popen(command, env=os.environ | own, stdout=log, stderr=log)
    try:
        for _ in range(120):
            with socket.socket() as asked:
                if asked.connect_ex(("127.0.0.1", port)) == 0:
                    break
            assert server.poll() is None, (folder / "log").read_text()
            time.sleep(0.5)
        yield f"http://127.0.0.1:{port}/lab/tree/"
    finally:
        server.terminate()
        server.wait(20)


class Page:
    """One notebook in the browser."""

    def __init__(self, driver: Any, address: str) -> None:
        self.driver = driver
        driver.get(f"{address}?reset")
        self.until(lambda: self.all(".jp-Notebook .jp-Cell"))
        self.until(lambda: "Python" in self.all(".jp-KernelName")[0].text)
        self.until(self.idle)

    def all(self, css: str) -> list[Any]:
        return list(self.driver.find_elements("css selector", css))

    def until(self, done: Any, seconds: float = 120.0) -> Any:
        from selenium.common.exceptions import StaleElementReferenceException
        from selenium.webdriver.support.ui import WebDriverWait

        wait = WebDriverWait(
            self.driver, seconds, 0.05, ignored_exceptions=[StaleElementReferenceException]
        )
        return wait.until(lambda driver: done())

    def idle(self) -> bool:
        return bool(self.all(".jp-Notebook-ExecutionIndicator[data-status=idle]"))

    def menu(self, top: str, item: str) -> None:
        """Choose an item of the menu with the mouse."""

        def click(css: str, words: str) -> bool:
            found = [one for one in self.all(css) if one.text.split("\n")[0] == words]
            if found:
                found[0].click()
            return bool(found)

        self.until(lambda: click(".lm-MenuBar-item", top))
        self.until(lambda: click(".lm-Menu-item", item))

    def run_all(self) -> float:
        """Run every cell through the menu and return how long that took [s]."""
        began = time.monotonic()
        self.menu("Run", "Run All Cells")
        self.until(lambda: not self.idle(), 20)
        self.until(self.idle)
        return time.monotonic() - began

    def output(self, number: int) -> Any:
        """Return the output of a code cell, counted from nought, brought into view."""
        cell = self.all(".jp-CodeCell")[number]
        self.driver.execute_script("arguments[0].scrollIntoView()", cell)
        return self.until(lambda: cell.find_elements("css selector", ".jp-OutputArea-output"))[0]

    def box(self, words: str) -> Any:
        """Return the line of the form that asks for `words`."""
        rows = self.all(".exhaust-form .widget-hbox")
        return next(row for row in rows if row.text.startswith(words))


@pytest.fixture(scope="module")
def page(lab: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = str(CHROMIUM)
    profile = tmp_path_factory.mktemp("profile")
    for one in (
        *("headless=new", "no-sandbox", "disable-gpu", "no-first-run", "disable-sync"),
        *("disable-background-networking", "disable-component-update", "disable-dev-shm-usage"),
        *(f"window-size={WIDTH},{HEIGHT}", f"user-data-dir={profile}"),
    ):
        options.add_argument(f"--{one}")
    driver = webdriver.Chrome(service=Service(str(DRIVER)), options=options)
    try:
        page = Page(driver, f"{lab}00-start-here.ipynb")
        page.run_all()
        yield page
    finally:
        driver.quit()


def test_it_runs_without_noise_and_without_scrolling_sideways(page: Page) -> None:
    assert page.all(NOISE) == []
    for number in range(1, 6):
        out = page.output(number)
        assert "Error" not in out.text
        assert out.get_property("scrollWidth") <= out.get_property("clientWidth") + 1
    box = page.all(".jp-WindowedPanel-outer")[0]
    assert box.get_property("scrollWidth") <= box.get_property("clientWidth") + 1


def slide(page: Page, cell: int, key: str) -> tuple[float, str, str]:
    """Press a key on the slider of a cell; return how long until the figure changed, and words."""
    from selenium.webdriver.common.action_chains import ActionChains

    out = page.output(cell)
    handle = out.find_element("css selector", ".noUi-handle")
    figure = out.find_element("css selector", "img")
    before, words = figure.get_attribute("src"), out.text
    handle.click()
    began = time.monotonic()
    ActionChains(page.driver).send_keys(key).perform()
    page.until(lambda: figure.get_attribute("src") != before, 10)
    took = time.monotonic() - began
    page.until(lambda: out.text != words, 10)
    return took, words, out.text


def test_the_tube_slider_moves_the_figure_and_the_words(page: Page) -> None:
    """By keyboard. Figure and words are on the screen in less than a second, mark and all."""
    from selenium.webdriver.common.keys import Keys

    took, before, after = slide(page, 3, Keys.ARROW_RIGHT)
    assert "3 in x 16 ga:" in before
    assert "3-1/2 in x 16 ga:" in after
    assert took < 1.0


def test_the_cutback_slider_moves_the_figure_and_the_numbers(page: Page) -> None:
    from selenium.webdriver.common.keys import Keys

    took, before, after = slide(page, 4, Keys.ARROW_RIGHT)
    assert "0.280" in before
    assert "0.290" in after
    assert took < 1.0


def test_a_wrong_entry_is_told_beside_its_box_as_the_command_line_tells_it(page: Page) -> None:
    from selenium.webdriver.common.keys import Keys

    (said,) = mistakes_in(with_values(DEMO, {"engine.displacement": "4 bananas"}))
    page.output(1)
    row = page.box("Displacement")
    field = row.find_element("css selector", "input")
    was = field.get_property("value")
    field.send_keys(Keys.CONTROL, "a")
    field.send_keys("4 bananas", Keys.TAB)
    page.until(lambda: said in page.box("Displacement").text, 20)
    assert field.get_property("value") == "4 bananas"
    assert "1 to mend" in page.output(1).text

    field.send_keys(Keys.CONTROL, "a")
    field.send_keys("350", Keys.TAB)
    page.until(lambda: said not in page.box("Displacement").text, 20)
    page.until(lambda: field.get_property("value") == "350 in^3", 20)
    page.until(lambda: "Sound" in page.output(1).text, 20)
    assert was == "311 in^3"
    page.until(page.idle)
    assert page.all(NOISE) == []
