"""What the tests share: the program, against which the package is held, and the logs of the repository."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = ROOT / "target/release/driftless"
DEMO = ROOT / "demo-tracks"

#: Each demo track with what stands beside it.
TRACKS: dict[str, dict[str, Path]] = {
    "ridge-five-metres.igc": {},
    "meadow-light-wind.gpx": {},
    "lake-evening.csv": {"marks": DEMO / "lake-evening.marks.csv"},
}
CAMPAIGN_LOGS = sorted((DEMO / "campaign/logs").glob("*.igc"))

#: Logs that nobody can use, of every format.
HOSTILE = sorted(path for path in (ROOT / "fixtures/formats").glob("*/hostile/*") if path.is_file())


def run(*arguments: str | Path, cwd: Path = DEMO, text: str | None = None) -> subprocess.CompletedProcess[str]:
    """The program as a user runs it."""
    return subprocess.run(
        [PROGRAM, *map(str, arguments)], cwd=cwd, input=text, capture_output=True, text=True, timeout=300
    )


def document(*arguments: str | Path, cwd: Path = DEMO) -> Any:
    """The JSON document that the program prints."""
    done = run(*arguments, "--format", "json", cwd=cwd)
    assert done.stdout, done.stderr
    return json.loads(done.stdout)


def flags(beside: dict[str, Path]) -> list[str | Path]:
    return [word for name, path in beside.items() for word in ("--" + name.replace("_", "-"), path)]


def without_command(of: Any) -> Any:
    """A document as it would be whoever made it."""
    return {**of, "made_by": {**of["made_by"], "command": None}}


@pytest.fixture(autouse=True)
def in_the_demo_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    """Documents name their logs as given, so both are given the same."""
    monkeypatch.chdir(DEMO)


@pytest.fixture(scope="session")
def long_log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log that takes the package long enough to be watched at it: the demo flight with more than three hours of orbits inside."""
    scenario = (DEMO / "ridge-five-metres.toml").read_text()
    orbit = '[[flight]]\ndo = "orbit"\nturns = 75\ndirection = "right"\nrate_deg_s = 8.0\nsetting = "trim-level"\n\n'
    glide = '[[flight]]\ndo = "straight"\nseconds = 28\nsetting = "power-off-glide"'
    assert glide in scenario
    folder = tmp_path_factory.mktemp("long")
    done = run("simulate", "-", "-o", folder, text=scenario.replace(glide, 4 * orbit + glide))
    assert done.returncode == 0, done.stderr
    (log,) = folder.glob("*.igc")
    return log
