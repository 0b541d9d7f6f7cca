"""What every test gets: Hypothesis profiles, and the browser or a plain word that there is none."""

import fcntl
import os
import pickle
import shutil
from pathlib import Path

import pytest
from hypothesis import settings

# The cores are busy with tests: threads of matrix products that wait for each other are in the way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# A shared machine makes single examples slow now and then; that is no fault of the code.
settings.register_profile("bench", deadline=None)
settings.register_profile("quick", deadline=None, max_examples=20)  # of `make quick`
settings.register_profile("ci", deadline=None, derandomize=True, database=None, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "bench")

_NO_BROWSER = (
    "The browser checks were NOT run: there is no Chromium on this machine. Install it "
    "(Debian, Ubuntu: apt-get install chromium) and run `make test` again."
)


def _chromium() -> str | None:
    # The shell first: without the windows of a browser a page opens in a quarter of the time.
    names = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome", "chrome")
    return next((path for path in map(shutil.which, names) if path), None)


def pytest_configure(config: pytest.Config) -> None:
    if os.environ.get("CI") and _chromium() is None:
        raise pytest.UsageError(
            "CI is set, so the browser checks must run, but Chromium is missing"
        )


LONGEST = (
    "properties/timetable/test_arranged.py",
    "faces/web/speed/test_screen.py",
    "unit/engines/card/test_measure.py",
    "faces/browser/test_real_page.py",
    "faces/web/test_look.py",
)
"""The files that take longest, in that order; of the others the marks of their tests say enough."""


def _long_files_first(items: list[pytest.Item]) -> None:
    """Files that take long begin first, so that no core waits for the last one."""
    here = Path(__file__).parent
    ranks: dict[Path, int] = {
        here / name: len(LONGEST) - place + 4 for place, name in enumerate(LONGEST)
    }
    for item in items:
        marks = [bool(item.get_closest_marker(name)) for name in ("slow", "browser")]
        ranks[item.path] = max(ranks.get(item.path, 0), 2 * marks[0] + marks[1])
    items.sort(key=lambda item: -ranks[item.path])


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    _long_files_first(items)
    if _chromium() is not None:
        return
    left_out = [item for item in items if item.get_closest_marker("browser")]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if not item.get_closest_marker("browser")]


def pytest_report_header(config: pytest.Config) -> str | None:
    return None if _chromium() else _NO_BROWSER


def pytest_terminal_summary(terminalreporter, config: pytest.Config) -> None:
    if _chromium() is None and "not browser" not in config.option.markexpr:
        terminalreporter.write_line(_NO_BROWSER, yellow=True)


@pytest.fixture(scope="session", autouse=True)
def every_day_is_worked():
    """Tests of the app run on whatever weekday it is, so none of these years is a day of rest;
    those about days of rest turn the clock of their shop to 2031."""
    from coatwright.actions import arranged

    works = arranged.works
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(arranged, "works", lambda hours, day: day.year < 2031 or works(hours, day))
        yield


@pytest.fixture(scope="session")
def planned_demo(tmp_path_factory: pytest.TempPathFactory):
    """The invented demo planned and its days arranged, once for all tests on all cores.

    What is found in two seconds keeps the same promises as what is found in longer.
    """
    from coatwright.actions.plans import plan_job

    folder = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        folder = folder.parent  # of all cores
    file = folder / "demo.plan"
    with (folder / "demo.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not file.exists():
            file.write_bytes(pickle.dumps(plan_job("demo", day_seconds=2.0)))
    return pickle.loads(file.read_bytes())


@pytest.fixture(scope="session")
def browser():
    """A headless Chromium of the machine, driven by Playwright; only for tests marked browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=_chromium(), args=["--no-sandbox"])
        yield chromium
        chromium.close()
