"""Refusals: the words of the program, with place and way out."""

from __future__ import annotations

import pickle
from pathlib import Path
from typing import Any

import pytest
from conftest import DEMO, HOSTILE, run

import driftless

LAKE = DEMO / "lake-evening.csv"


def refused(**given: Any) -> driftless.DriftlessError:
    log = given.pop("log", LAKE)
    with pytest.raises(driftless.DriftlessError) as error:
        driftless.report(log, **given)
    return error.value


def test_every_hostile_log_is_refused_in_the_words_of_the_program_or_reported_as_it_reports_it() -> None:
    refusals = 0
    for log in HOSTILE:
        done = run("report", log, "--format", "json")
        try:
            driftless.report(log)
        except driftless.DriftlessError as error:
            refusals += 1
            assert str(error) in done.stderr, log
            assert isinstance(error, driftless.NoTrackError) is (done.returncode == 1), log
            assert error.place is not None and error.place.file == str(log)
        else:
            assert done.stdout, f"{log} is refused by the program alone: {done.stderr}"
    assert refusals > 12


def test_the_line_at_fault_is_told(tmp_path: Path) -> None:
    marks = tmp_path / "marks.csv"
    marks.write_text("let_go,take_over\n5,60\n70,soon\n")
    error = refused(marks=marks)
    assert isinstance(error, driftless.MarksError) and error.place == (str(marks), 3) and "line 3" in str(error)
    table = tmp_path / "table.csv"
    table.write_text("# a comment\ntime,speed\n2026-05-01T06:00:00Z,3\n")
    error = refused(log=table)
    assert error.place is not None and error.place.line in (1, 2) and f"line {error.place.line}" in str(error)
    assert error.help is not None and "column mapping" in error.help


@pytest.mark.parametrize(
    "name, kind, code",
    [
        ("no such file.igc", driftless.FileError, "file-missing"),
        ("campaign", driftless.FileError, "folder"),
        ("README.md", driftless.LogError, "not-a-flight-log"),
    ],
)
def test_what_is_no_log_is_refused_with_a_way_out(name: str, kind: type[driftless.DriftlessError], code: str) -> None:
    error = refused(log=name)
    assert type(error) is kind and error.code == code and error.help
    # The program takes a folder for all logs in it; here that is `driftless.season`.
    assert code == "folder" or str(error) in run("report", name, "--format", "json").stderr


def test_files_beside_the_log_are_named_where_they_are_at_fault(tmp_path: Path) -> None:
    text = tmp_path / "latin.csv"
    text.write_bytes(b"let_go,take_over,note\n5,60,caf\xe9\n")
    error = refused(marks=text)
    assert isinstance(error, driftless.FileError) and error.code == "not-text" and str(text) in str(error)
    assert refused(marks=text.read_bytes()).place == ("marks", None)
    error = refused(imu=[LAKE, "no such sensor.csv"])
    assert error.code == "file-missing" and error.place == ("no such sensor.csv", None)
    error = refused(csv_map=b"not TOML at all")
    assert isinstance(error, driftless.MappingError) and error.place == ("csv_map", None)


def test_errors_are_those_of_python_as_well() -> None:
    with pytest.raises(OSError):
        driftless.report("no such file.igc")
    with pytest.raises(ValueError, match="kmh or kt"):
        driftless.report(LAKE, units="furlongs")
    for kind in (driftless.FileError, driftless.LogError, driftless.NoTrackError, driftless.CampaignError):
        assert issubclass(kind, driftless.DriftlessError)


def test_an_error_comes_whole_out_of_a_pickle() -> None:
    for error in (refused(log="no such file.igc"), refused(log=b""), refused(marks=b"let_go\n")):
        back = pickle.loads(pickle.dumps(error))
        told = lambda of: (type(of), str(of), of.code, of.place, of.help)  # noqa: E731
        assert told(back) == told(error)


def test_what_is_neither_path_nor_bytes_is_a_type_error() -> None:
    with LAKE.open() as as_text:
        for given in (3, None, as_text):
            with pytest.raises(TypeError, match="bytes|rb"):
                driftless.report(given)  # type: ignore[arg-type]
