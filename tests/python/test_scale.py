"""The queries of docs/scale.md, run on a small season as they stand there."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import duckdb
import pandas
import pytest
from conftest import PROGRAM, ROOT

PAGE = (ROOT / "docs/scale.md").read_text(encoding="utf-8")
LOGS = 24


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", PAGE, re.DOTALL)


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in which the first command of the page was run."""
    folder = tmp_path_factory.mktemp("scale")
    maker = ROOT / "tests/season/season.py"
    subprocess.run([sys.executable, maker, "make", str(LOGS), folder / "season"], check=True)
    (command, *_) = blocks("sh")
    assert command.startswith("driftless report ")
    words = command.split()[1:]
    subprocess.run([PROGRAM, *words], cwd=folder, check=True, capture_output=True)
    return folder


@pytest.fixture(scope="module")
def windows(season: Path) -> list[dict]:
    """All windows, by the documents."""
    done = subprocess.run(
        [PROGRAM, "report", "season/", "--format", "json"], cwd=season, check=True, capture_output=True, text=True
    )
    documents = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(documents) == LOGS
    return [window for document in documents for window in document["windows"]]


def test_the_queries_for_duckdb_answer(season: Path, windows: list[dict], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(season)
    by_year, by_setup, why = blocks("sql")
    rows = duckdb.sql(by_year).fetchall()
    assert {row[0] for row in rows} == {2024, 2025, 2026}
    assert sum(row[2] for row in rows) == len(windows)
    assert sum(row[3] for row in rows) == sum(window["accepted"] for window in windows)
    rows = duckdb.sql(by_setup).fetchall()
    assert sum(row[2] for row in rows) == sum(window["accepted"] for window in windows)
    turns = {(row[0], row[1]): row[3] for row in rows}
    # The season's set-up without a device turns most, to the left.
    level = {setup: turn for (setup, scenario), turn in turns.items() if scenario == "trim-level"}
    assert level["bare"] == min(level.values()) < -0.5
    told = [finding["code"] for window in windows if not window["accepted"] for finding in window["findings"]]
    assert sum(row[1] for row in duckdb.sql(why).fetchall()) == len(told)


def test_the_lines_for_pandas_answer(
    season: Path, windows: list[dict], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(season)
    (lines,) = blocks("python")
    names: dict = {}
    exec(lines, names)
    assert "trim-level" in capsys.readouterr().out
    table: pandas.DataFrame = names["windows"]
    assert len(table) == len(windows)
    rates = table.sort_values(["log_file", "id"]).turn_rate_value_deg_s.dropna().tolist()
    assert sorted(rates) == sorted(w["turn_rate"]["value_deg_s"] for w in windows if w["turn_rate"]["value_deg_s"] is not None)
    assert str(table.start_utc.dtype).startswith("datetime64[") and "UTC" in str(table.start_utc.dtype)
    assert sorted(set(table.year.astype(int))) == [2024, 2025, 2026]
