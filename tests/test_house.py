"""The house: what importing costs, what ships, what the data carries."""

from __future__ import annotations

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

import exhaust
from exhaust import tables
from exhaust.errors import ExhaustError

CHECKOUT = Path(__file__).resolve().parent.parent

HEAVY = {
    "CoolProp", "IPython", "cantera", "ezdxf", "fluids", "ht", "ipywidgets", "jinja2", "matplotlib",
    "numba", "numpy", "pandas", "pint", "reportlab", "scipy", "tomlkit", "tqdm",
}  # fmt: skip

ALLOWED = {"exhaust"}


def _modules_after(statement: str) -> set[str]:
    code = (
        f"import sys; before = set(sys.modules); {statement}; print(*(set(sys.modules) - before))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=CHECKOUT
    )
    return {name.split(".")[0] for name in done.stdout.split()}


def test_importing_the_package_loads_nothing_else() -> None:
    third_party = _modules_after("import exhaust") - set(sys.stdlib_module_names)
    assert {name for name in third_party if not name.startswith("_")} <= ALLOWED


def test_describing_stock_loads_no_heavy_library() -> None:
    loaded = _modules_after("from exhaust import Tube, Engine, Ambient, Saw, Bend")
    assert not loaded & HEAVY


def test_every_public_name_loads_and_is_documented() -> None:
    for name in exhaust.__all__:
        assert getattr(exhaust, name).__doc__, name
    with pytest.raises(AttributeError, match="no attribute 'Pipe'"):
        exhaust.Pipe  # noqa: B018


def test_every_data_row_names_a_known_source() -> None:
    data = CHECKOUT / "data"
    paths = (path.relative_to(data).with_suffix("") for path in data.rglob("*.csv"))
    names = [path.as_posix() for path in paths if path.stem != "sources"]
    assert {
        "tube",
        "bend",
        "bwg",
        "material",
        "fuel",
        "species",
        "caution",
        "published/janaf",
    } <= set(names)
    for name in names:
        assert tables.read(name), name


def test_a_row_without_a_source_is_refused() -> None:
    with pytest.raises(ExhaustError, match=r"data/tube.csv line 2 has no source; add one"):
        tables.checked("tube", ({"od": "3 in", "source": " ", "where": "x"},), frozenset({"own"}))
    with pytest.raises(ExhaustError, match=r"unknown source 'bgw'; nearest: \"bwg\""):
        tables.checked("tube", ({"source": "bgw", "where": "x"},), frozenset({"bwg"}))


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", folder, CHECKOUT],
        check=True,
    )
    (built,) = folder.glob("*.whl")
    return built


def test_the_wheel_carries_data_and_notebooks(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    for path in (*(CHECKOUT / "data").rglob("*.csv"), *(CHECKOUT / "notebooks").rglob("*.ipynb")):
        assert f"exhaust/{path.relative_to(CHECKOUT)}" in names
    assert not [name for name in names if name.startswith(("tests", "data/"))]


@pytest.mark.slow
def test_the_wheel_runs_the_main_job_in_an_empty_environment(wheel: Path, tmp_path: Path) -> None:
    """Everything installed afresh, outside the checkout: no file of it may be needed."""
    venv.create(tmp_path / "env", with_pip=True)
    scripts = tmp_path / "env" / ("Scripts" if os.name == "nt" else "bin")
    subprocess.run([scripts / "python", "-m", "pip", "install", "-q", wheel], check=True)
    run = {"check": True, "cwd": tmp_path}
    subprocess.run([scripts / "exhaust", "new", "--demo", "mine"], **run)  # type: ignore[call-overload]
    job = "mine/v8-parallel-x.toml"
    subprocess.run([scripts / "exhaust", "sheet", job, "--out", "out"], **run)  # type: ignore[call-overload]
    assert (tmp_path / "out" / "job-sheet.html").stat().st_size > 10_000


def test_the_wheel_runs_the_main_job_outside_the_checkout(wheel: Path, tmp_path: Path) -> None:
    """The quick form: the wheel's files alone, with the libraries that are already here."""
    zipfile.ZipFile(wheel).extractall(tmp_path / "site")
    env = {**os.environ, "PYTHONPATH": str(tmp_path / "site")}
    job = tmp_path / "site" / "exhaust" / "data" / "jobs" / "v8-parallel-x.toml"
    command = [sys.executable, "-P", "-m", "exhaust", "sheet", job, "--out", tmp_path / "out"]
    subprocess.run(command, check=True, cwd=tmp_path, env=env, capture_output=True)
    where = "import exhaust.tables; print(exhaust.tables.shipped('data'))"
    done = subprocess.run(
        [sys.executable, "-P", "-c", where], env=env, cwd=tmp_path, capture_output=True, text=True
    )
    assert Path(done.stdout.strip()) == tmp_path / "site" / "exhaust" / "data"
    assert (tmp_path / "out" / "results.json").exists()
