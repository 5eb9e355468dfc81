"""The package as it is installed: version, types, what it needs."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from importlib import metadata
from pathlib import Path

from conftest import ROOT, run

import driftless

SAMPLE = """
from pathlib import Path
import driftless

report: driftless.Report = driftless.report(Path("flight.igc"), marks=b"let_go,take_over\\n", units="kmh")
svg: dict[str, str] = report.charts()
rate: float = report["windows"][0]["turn_rate"]["value_deg_s"]
table: driftless.Windows = driftless.windows(["a.igc", ("b.igc", b"...")], on_error="skip", jobs=2)
for failure in table.failures:
    place: driftless.Place | None = failure.error.place
log: driftless.Log = driftless.read_log("a.igc")
line: int | None = log.problems[0]["line"]
usable: bool = driftless.check(b"...")["usable"]
wind: float = driftless.fit_circle([1.0, 2.0], [0.0, 1.0]).wind_std_u_mps
compared: driftless.Comparison = driftless.compare("campaign.toml", jobs=2)
"""

WRONG = [
    'driftless.report("a.igc", mark="m.csv")',
    "driftless.report(3)",
    'driftless.windows([], on_error="ignore")',
    'driftless.fit_circle("east", 3)',
    'driftless.read_log("a.igc").problems[0]["lines"]',
]


def python(*arguments: str | Path, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *map(str, arguments)], capture_output=True, text=True, cwd=cwd)


def test_one_version_with_the_program() -> None:
    assert metadata.version("driftless") == driftless.__version__ == run("--version").stdout.split()[-1]
    assert driftless.report("ridge-five-metres.igc")["made_by"]["version"] == driftless.__version__


def test_strict_types_take_what_is_right_and_refuse_what_is_wrong(tmp_path: Path) -> None:
    sample = tmp_path / "sample.py"
    sample.write_text(SAMPLE)
    checked = python("-m", "mypy", "--strict", sample, cwd=tmp_path)
    assert checked.returncode == 0, checked.stdout
    sample.write_text("import driftless\n" + "\n".join(WRONG) + "\n")
    refused = python("-m", "mypy", "--strict", sample, cwd=tmp_path).stdout
    assert {f"sample.py:{line}: error" in refused for line in range(2, 2 + len(WRONG))} == {True}, refused


def test_the_package_itself_is_strictly_typed_and_its_stubs_are_true(tmp_path: Path) -> None:
    # Libraries without types of their own, and one that need not be there.
    (tmp_path / "mypy.ini").write_text("[mypy-pyarrow.*,ray.*,fsspec.*]\nignore_missing_imports = True\n")
    checked = python("-m", "mypy", "--strict", "-p", "driftless", cwd=tmp_path)
    assert checked.returncode == 0, checked.stdout
    held = python("-m", "mypy.stubtest", "driftless._native", cwd=tmp_path)
    assert held.returncode == 0, held.stdout


def test_every_name_of_the_top_is_said_what_it_is() -> None:
    for name in driftless.__all__:
        if name != "__version__":
            assert getattr(driftless, name).__doc__, name


def test_nothing_else_is_needed_and_nothing_is_loaded_before_it_is_used() -> None:
    assert all("extra ==" in needed for needed in metadata.requires("driftless") or [])
    loaded = python("-c", "import driftless, sys; print(*sys.modules)").stdout.split()
    assert not {"pyarrow", "pandas", "polars", "numpy", "ray"} & set(loaded)


def test_the_wheel_fits_every_later_python_and_names_no_folder_of_its_maker() -> None:
    (wheel,) = (ROOT / "target/python/wheels").glob("*.whl")
    assert "-cp310-abi3-" in wheel.name
    with zipfile.ZipFile(wheel) as parts:
        names = parts.namelist()
        assert "driftless/py.typed" in names and "driftless/_native.pyi" in names
        for name in names:
            if not name.endswith(".so"):
                assert str(ROOT).encode() not in parts.read(name), name
