"""`driftless.read_log` and `driftless.check`: a log as it stands in the file."""

from __future__ import annotations

import json

import polars
import pyarrow
import pytest
from conftest import DEMO, ROOT, TRACKS, document, run

import driftless


@pytest.mark.parametrize("track", TRACKS)
def test_every_fix_is_a_row(track: str) -> None:
    log = driftless.read_log(track)
    about = document("report", track)["log"]
    assert len(log) == len(log.fixes) == about["fixes_read"]
    assert log.sha256 == document("report", track)["made_by"]["input_sha256"]
    fixes = polars.DataFrame(log.fixes)
    assert fixes["time_utc"].is_sorted() and 0 < fixes["lat_deg"].std() < 0.2 and 0 < fixes["lon_deg"].std() < 0.2
    assert pyarrow.table(log.fixes).schema.field("time_utc").type == pyarrow.timestamp("ms", "UTC")


def test_rows_know_their_line_in_the_file() -> None:
    lines = (DEMO / "ridge-five-metres.igc").read_text().splitlines()
    fixes = driftless.read_log("ridge-five-metres.igc").fixes.to_dict()
    assert all(lines[line - 1].startswith("B") for line in fixes["line"])
    at = lines[fixes["line"][100] - 1]
    assert at[1:7] == fixes["time_utc"][100].strftime("%H%M%S")


def test_marks_are_told_with_their_scenario() -> None:
    marks = driftless.read_log("ridge-five-metres.igc").marks
    windows = document("report", "ridge-five-metres.igc")["windows"]
    let_go = [mark for mark in marks if mark["kind"] == "let-go"]
    assert [mark["time_utc"] for mark in let_go] == [window["let_go_utc"] for window in windows]
    assert [mark["scenario"] for mark in let_go] == [window["scenario"] for window in windows]


def test_a_check_tells_what_the_program_tells() -> None:
    for log in [*TRACKS, *sorted((ROOT / "fixtures/formats").glob("*/odd/*"))]:
        printed = run("check", log)
        if printed.returncode == 2:
            with pytest.raises(driftless.DriftlessError):
                driftless.check(log)
            continue
        told = driftless.check(log)
        assert told["usable"] is (printed.returncode == 0), log
        assert f"fixes read: {told['fixes_read']}, marks: {told['marks']}" in printed.stdout
        if told["usable"]:
            assert f"fixes used: {told['fixes_used']}, gaps: {told['gaps']}" in printed.stdout
        else:
            assert told["reason"] is not None and told["reason"] in printed.stdout.replace("\n", " ")
        words = " ".join(printed.stdout.split())
        for problem in told["problems"]:
            assert problem["message"].split(";")[0][:40].rstrip(" .") in words.replace("Note: ", ""), (log, problem)
        json.dumps(told)


def test_a_mapping_names_the_columns_of_a_table() -> None:
    table = b"when;y;x\n" + b"".join(b"2026-05-01T06:00:%02dZ;47.%03d;11\n" % (s, s) for s in range(60))
    mapping = b'time = "when"\nlatitude = "y"\nlongitude = "x"\n'
    with pytest.raises(driftless.LogError) as refused:
        driftless.read_log(table)
    assert refused.value.code == "csv-header" and refused.value.place == ("log", 1)
    with pytest.raises(driftless.MappingError) as wrong:
        driftless.read_log(table, csv_map=b"columns = 3")
    assert wrong.value.place is not None and wrong.value.place.file == "csv_map"
    log = driftless.read_log(table, csv_map=mapping, name="table.csv")
    assert len(log) == 60 and "table.csv" in repr(log)
