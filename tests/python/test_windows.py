"""`driftless.windows`: many logs to one table."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import duckdb
import pandas
import polars
import pyarrow
import pytest
from conftest import CAMPAIGN_LOGS, DEMO, HOSTILE, TRACKS, run

import driftless


def flattened(entry: Any, before: str = "") -> dict[str, Any]:
    """An entry of the document with its keys joined by underscores."""
    flat: dict[str, Any] = {}
    for key, value in entry.items():
        if isinstance(value, dict):
            flat |= flattened(value, f"{before}{key}_")
        elif isinstance(value, list) and any(isinstance(one, dict) for one in value):
            flat[f"{before}{key}_code"] = "; ".join(one["code"] for one in value)
        elif isinstance(value, list):
            flat[before + key] = "; ".join(value)
        elif key.endswith("_utc") and value is not None:
            flat[before + key] = datetime.fromisoformat(value.replace("Z", "+00:00"))
        else:
            flat[before + key] = value
    return flat


def rows_of_the_program(logs: list[Path], *more: str | Path) -> list[dict[str, Any]]:
    done = run("report", *logs, *more, "--format", "json")
    documents = [json.loads(line) for line in done.stdout.splitlines()] if len(logs) > 1 else [json.loads(done.stdout)]
    rows = []
    for of_log in documents:
        about = flattened({"log": of_log["log"], "made_by": of_log["made_by"], "schema": of_log["schema"]})
        rows += [about | flattened(window) for window in of_log["windows"]]
    return rows


@pytest.fixture(scope="module")
def table() -> driftless.Windows:
    return driftless.windows(CAMPAIGN_LOGS)


def test_the_rows_are_the_windows_of_the_documents(table: driftless.Windows) -> None:
    columns = table.to_dict()
    expected = rows_of_the_program(CAMPAIGN_LOGS)
    assert len(table) == len(expected) > 100
    for name, cells in columns.items():
        want = [row.get(name) for row in expected]
        # A list without an entry is a cell without words.
        assert [cell or None for cell in cells] == [cell or None for cell in want], name
    unused = {name for row in expected for name in row} - set(columns)
    assert all(name.startswith(("log_", "made_by_", "findings")) for name in unused), unused


@pytest.mark.parametrize("jobs", [1, 8])
def test_one_thread_or_eight_give_the_same(table: driftless.Windows, jobs: int) -> None:
    assert driftless.windows(CAMPAIGN_LOGS, jobs=jobs).to_dict() == table.to_dict()


def test_pyarrow_pandas_polars_and_duckdb_take_the_table(table: driftless.Windows) -> None:
    arrow = pyarrow.table(table)
    assert arrow.num_rows == len(table) and arrow.schema.names == list(table.columns)
    assert pyarrow.schema(table) == arrow.schema
    assert arrow.schema.field("start_utc").type == pyarrow.timestamp("ms", "UTC")
    assert arrow.schema.field("accepted").type == pyarrow.bool_() and arrow.schema.field("id").type == pyarrow.int64()
    assert arrow.schema.field("climb_mps").metadata[b"description"] == table.columns["climb_mps"].encode()
    assert arrow.to_pydict() == table.to_dict()

    frame = arrow.to_pandas()
    assert isinstance(frame, pandas.DataFrame) and frame["turn_rate_value_deg_s"].notna().all()
    assert pandas.DataFrame.from_arrow(table).shape == frame.shape
    means = polars.DataFrame(table).group_by("scenario").agg(polars.col("steady_rate_value_deg_s").mean())
    assert means.height == frame["scenario"].nunique() > 2
    rows = table
    counted = duckdb.sql("select count(*), count(distinct made_by_input_sha256) from rows").fetchall()
    assert rows is table
    assert counted == [(len(table), len(CAMPAIGN_LOGS))]
    # It can be asked again: nothing was handed away.
    assert pyarrow.table(table) == arrow


def test_contents_and_names_do_as_well_as_paths() -> None:
    named = [(name, (DEMO / name).read_bytes()) for name in TRACKS]
    of_paths = driftless.windows(list(TRACKS)).to_dict()
    assert driftless.windows(named).to_dict() == of_paths
    assert driftless.windows(iter(named)).to_dict() == of_paths
    one = driftless.windows("ridge-five-metres.igc")
    assert set(one.to_dict()["log_file"]) == {"ridge-five-metres.igc"}


def test_marks_belong_to_one_log_each() -> None:
    logs, marks = ["lake-evening.csv", "ridge-five-metres.igc"], "lake-evening.marks.csv"
    expected = rows_of_the_program([DEMO / "lake-evening.csv"], "--marks", DEMO / marks)
    for given in ([marks, None], {"lake-evening.csv": marks}, [(DEMO / marks).read_bytes(), None]):
        cells = driftless.windows(logs, marks=given).to_dict()  # type: ignore[arg-type]
        at = [i for i, name in enumerate(cells["log_file"]) if name == "lake-evening.csv"]
        assert [cells["setup"][i] for i in at] == [row["setup"] for row in expected]
        assert [cells["turn_rate_value_deg_s"][i] for i in at] == [row["turn_rate_value_deg_s"] for row in expected]
    with pytest.raises(driftless.OptionError, match="one log each"):
        driftless.windows(logs, marks=marks)  # type: ignore[arg-type]
    with pytest.raises(driftless.OptionError, match="none of the logs"):
        driftless.windows(logs, marks={"lake.csv": marks})


def test_bad_logs_among_good_ones_are_listed_and_stop_nothing() -> None:
    assert len(HOSTILE) > 15
    good = CAMPAIGN_LOGS[:4]
    mixed = [log for pair in zip(HOSTILE, good * len(HOSTILE)) for log in pair] + [DEMO / "no such log.igc"]
    with pytest.raises(driftless.DriftlessError):
        driftless.windows(mixed)
    table = driftless.windows(mixed, on_error="skip")
    failed = {failure.name for failure in table.failures}
    expected = {
        str(log)
        for log in [*HOSTILE, DEMO / "no such log.igc"]
        if run("report", log, "--format", "json").returncode != 0
    }
    readable = {str(log) for log in HOSTILE if run("report", log, "--format", "json").stdout}
    assert failed == expected - readable and len(failed) > 12
    for failure in table.failures:
        assert mixed[failure.index] == Path(failure.name)
        assert isinstance(failure.error, driftless.DriftlessError) and failure.error.code
        assert str(failure.error) in run("report", failure.name, "--format", "json").stderr
    assert set(table.to_dict()["log_file"]) >= {log.name for log in good}


def test_the_error_that_is_raised_is_that_of_the_first_bad_log() -> None:
    for _ in range(3):
        with pytest.raises(driftless.FileError, match="first.igc"):
            driftless.windows(["first.igc", *CAMPAIGN_LOGS[:3], "second.igc"], jobs=1)


def test_no_logs_and_logs_without_windows_give_a_table_without_rows() -> None:
    # Ten seconds are flown, and no window is as short.
    rows = "".join(f"2026-05-01T06:00:{s:02}Z,{47 + 1e-4 * s:.6f},11\n" for s in range(11))
    for logs in ([], [("short.csv", f"time,lat,lon\n{rows}".encode())]):
        table = driftless.windows(logs)
        assert pyarrow.table(table).num_rows == len(table) == 0
        assert list(table.columns) == list(driftless.windows("ridge-five-metres.igc").columns)


def test_arguments_that_are_none_are_refused() -> None:
    with pytest.raises(driftless.OptionError, match="skip"):
        driftless.windows([], on_error="ignore")  # type: ignore[arg-type]
    with pytest.raises(driftless.OptionError, match="1 or more"):
        driftless.windows([], jobs=0)
    with pytest.raises(TypeError, match="a path, bytes"):
        driftless.windows([3])  # type: ignore[list-item]
