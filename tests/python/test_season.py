"""`driftless.season`: a folder of logs to tables, on this machine."""

from __future__ import annotations

import gzip
import shutil
import sys
from pathlib import Path
from typing import Any

import pyarrow
import pyarrow.dataset
import pyarrow.parquet
import pytest
from conftest import CAMPAIGN_LOGS, DEMO, HOSTILE

import driftless
from driftless._native import LOG_ENDINGS
from driftless.season import Season, SeasonError, Summary
from driftless.season.__main__ import main
from driftless.season._places import Place
from driftless.season._run import on_this_machine


def run(source: Path, target: Path, **settings: Any) -> Summary:
    return on_this_machine(Season(Place(str(source)), Place(str(target)), **settings), lambda _: None)


def table(target: Path, name: str) -> list[dict[str, Any]]:
    """A table as a list, sorted by log."""
    if not (target / name).exists():
        return []
    rows = pyarrow.dataset.dataset(target / name, partitioning="hive").to_table().to_pylist()
    return sorted(rows, key=lambda row: (row["log_path"], row.get("id", 0)))


@pytest.fixture
def source(tmp_path: Path) -> Path:
    """Good logs in folders, one with marks, one gzip-ed, among logs that nobody can use."""
    source = tmp_path / "logs"
    for at, log in enumerate(CAMPAIGN_LOGS[:6]):
        day = source / f"day {at % 2}"
        day.mkdir(parents=True, exist_ok=True)
        shutil.copy(log, day)
    shutil.copy(DEMO / "lake-evening.csv", source)
    shutil.copy(DEMO / "lake-evening.marks.csv", source)
    (source / "ridge.igc.gz").write_bytes(gzip.compress((DEMO / "ridge-five-metres.igc").read_bytes()))
    (source / "read me.md").write_text("no log")
    bad = source / "bad"
    bad.mkdir()
    for log in HOSTILE:
        shutil.copy(log, bad / f"{log.parent.parent.name}-{log.name}")
    return source


def test_the_rows_are_those_of_windows_and_bad_logs_are_rows_too(source: Path, tmp_path: Path) -> None:
    target = tmp_path / "season"
    summary = run(source, target, batch_logs=4)
    windows, logs, failures = (table(target, name) for name in ("windows", "logs", "failures"))
    good = sorted(
        path for path in source.rglob("*") if path.is_file() and path.parent.name != "bad" and path.suffix != ".md"
    )
    good = [path for path in good if not path.name.endswith(".marks.csv")]
    assert len(good) == 8
    marks = {str(source / "lake-evening.csv"): source / "lake-evening.marks.csv"}
    expected = pyarrow.table(driftless.windows(good, marks=marks)).to_pylist()
    by_path = [row for row in windows if not row["log_path"].startswith("bad/")]
    assert {row["log_path"] for row in by_path} == {path.relative_to(source).as_posix() for path in good}
    plain = [{k: v for k, v in row.items() if k not in ("log_path", "year")} for row in by_path]
    key = lambda row: (row["log_file"], row["id"])  # noqa: E731
    assert sorted(plain, key=key) == sorted(expected, key=key)
    assert all(row["year"] == row["log_start_utc"].year for row in windows)
    assert any(row["setup"] for row in by_path if row["log_path"] == "lake-evening.csv"), "its marks were not used"

    names = {
        path.relative_to(source).as_posix()
        for path in (source / "bad").iterdir()
        if path.suffix in (*LOG_ENDINGS, ".gz")
    }
    names = {name for name in names if name.removesuffix(".gz").endswith(LOG_ENDINGS)}
    assert {row["log_path"] for row in failures} <= names and len(failures) > 8
    assert all(row["kind"] and row["code"] and row["message"] for row in failures)
    assert {row["log_path"] for row in logs} == {row["log_path"] for row in by_path} | names
    assert {row["log_path"] for row in logs if row["failed"]} == {row["log_path"] for row in failures}
    assert sum(row["windows"] for row in logs) == len(windows) == summary.rows
    assert (summary.logs, summary.failed, summary.skipped) == (len(logs), len(failures), 0)


def test_a_second_run_analyses_what_is_new_and_nothing_else(source: Path, tmp_path: Path) -> None:
    target = tmp_path / "season"
    first = run(source, target, batch_logs=4)
    before = table(target, "windows"), table(target, "failures")
    again = run(source, target, batch_logs=5)
    assert (again.analysed, again.skipped, again.rows) == (0, first.logs, 0)
    assert (table(target, "windows"), table(target, "failures")) == before
    shutil.copy(CAMPAIGN_LOGS[10], source / "new.igc")
    shutil.copy(CAMPAIGN_LOGS[0], source / "a copy.igc")
    third = run(source, target)
    assert (third.analysed, third.skipped) == (1, first.logs + 1)
    assert {row["log_path"] for row in table(target, "windows")} - {row["log_path"] for row in before[0]} == {"new.igc"}


def test_a_log_whose_marks_changed_is_analysed_again(source: Path, tmp_path: Path) -> None:
    target = tmp_path / "season"
    run(source, target)
    lines = (source / "lake-evening.marks.csv").read_text().splitlines()
    (source / "lake-evening.marks.csv").write_text("\n".join(lines[:2]) + "\n")
    assert run(source, target).analysed == 1


def test_what_a_lost_run_left_half_done_does_not_count_twice(source: Path, tmp_path: Path) -> None:
    whole, lost = tmp_path / "whole", tmp_path / "lost"
    run(source, whole, batch_logs=3)
    shutil.copytree(whole, lost)
    ledgers = sorted((lost / "logs").iterdir())
    for ledger in ledgers[::2]:
        ledger.unlink()
    (lost / "windows/year=2026/half.parquet.77.part").write_bytes(b"PAR1")
    resumed = run(source, lost, batch_logs=2)
    assert 0 < resumed.analysed < resumed.logs
    for name in ("windows", "logs", "failures"):
        assert table(lost, name) == table(whole, name), name


def test_a_file_that_cannot_be_read_is_tried_again(
    source: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "season"
    read = Place.read

    def refusing(place: Place, path: str) -> bytes:
        if path.endswith("ridge.igc.gz"):
            raise OSError("the disk is away")
        return read(place, path)

    with monkeypatch.context() as patch:
        patch.setattr(Place, "read", refusing)
        first = run(source, target)
    (row,) = [row for row in table(target, "failures") if row["log_path"] == "ridge.igc.gz"]
    assert (row["kind"], row["code"], row["log_sha256"]) == ("OSError", "file-not-read", None)
    second = run(source, target)
    assert (second.analysed, second.failed, second.skipped) == (1, 0, first.logs - 1)
    assert not [row for row in table(target, "failures") if row["log_path"] == "ridge.igc.gz"]
    assert [row for row in table(target, "windows") if row["log_path"] == "ridge.igc.gz"]


def test_the_same_log_with_other_marks_is_another_log(tmp_path: Path) -> None:
    source, target = tmp_path / "logs", tmp_path / "season"
    source.mkdir()
    for name in ("a", "b", "c"):
        shutil.copy(DEMO / "lake-evening.csv", source / f"{name}.csv")
    shutil.copy(DEMO / "lake-evening.marks.csv", source / "b.marks.csv")
    summary = run(source, target)
    assert (summary.analysed, summary.skipped) == (2, 1)
    windows = table(target, "windows")
    assert {row["log_path"] for row in windows} == {"a.csv", "b.csv"}
    assert all((row["setup"] is not None) is (row["log_path"] == "b.csv") for row in windows)


def test_other_settings_and_other_files_are_left_alone(source: Path, tmp_path: Path) -> None:
    target = tmp_path / "season"
    run(source, target)
    with pytest.raises(SeasonError, match="other settings"):
        run(source, target, limits={"fixes": 10})
    with pytest.raises(SeasonError, match="holds other files"):
        run(source, source)
    with pytest.raises(SeasonError, match="there is no folder"):
        run(tmp_path / "none", target)


def test_the_command_says_what_it_did(source: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = [str(source), str(tmp_path / "season"), "--batch", "3", "--jobs", "2"]
    assert main(line) == 0
    told = capsys.readouterr().out
    assert "0 known already" in told and "failed" in told and " windows; " in told
    assert main([str(tmp_path / "none"), str(tmp_path / "season")]) == 2
    assert "there is no folder" in capsys.readouterr().err
    assert main([str(source), str(tmp_path / "other"), "--limit", "fixe=3"]) == 2
    assert "there is no limit" in capsys.readouterr().err


def test_without_ray_the_command_says_how_to_get_it(
    source: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "ray", None)
    assert main([str(source), str(tmp_path / "season"), "--on", "ray"]) == 2
    assert 'pip install "driftless[ray]"' in capsys.readouterr().err
    assert not (tmp_path / "season").exists()


def test_a_bucket_is_a_folder_like_any_other(source: Path) -> None:
    """A file system in memory, by its address, stands for one that is reached over a network."""
    fsspec = pytest.importorskip("fsspec")
    memory = fsspec.filesystem("memory")
    for path in source.rglob("*.igc"):
        memory.pipe("/season-logs/" + path.relative_to(source).as_posix(), path.read_bytes())
    season = Season(Place("memory://season-logs"), Place("memory://season-rows"))
    summary = on_this_machine(season, lambda _: None)
    assert summary.analysed > 5 and summary.rows > 20
    parts = memory.glob("/season-rows/windows/year=2026/*.parquet")
    assert parts and sum(pyarrow.parquet.read_table(memory.open(part)).num_rows for part in parts) > 20
    assert on_this_machine(season, lambda _: None).skipped == summary.analysed
