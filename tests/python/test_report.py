"""`driftless.report`: the document of the program, and what is made beside it."""

from __future__ import annotations

import json
import pickle
import re
import subprocess
import sys
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from conftest import CAMPAIGN_LOGS, DEMO, PROGRAM, TRACKS, document, flags, run, without_command

import driftless


@pytest.mark.parametrize("track", TRACKS)
def test_the_document_is_that_of_the_program(track: str) -> None:
    beside = TRACKS[track]
    report = driftless.report(track, **beside)
    assert without_command(report) == without_command(document("report", track, *flags(beside)))
    assert report["windows"], "a demo track without a window shows nothing"


def test_every_log_of_the_campaign_gives_the_document_of_the_program() -> None:
    assert len(CAMPAIGN_LOGS) > 20
    done = run("report", *CAMPAIGN_LOGS, "--format", "json")
    of_the_program = [json.loads(line) for line in done.stdout.splitlines()]
    of_the_package = [driftless.report(log) for log in CAMPAIGN_LOGS]
    assert [*map(without_command, of_the_package)] == [*map(without_command, of_the_program)]


def test_inertial_files_take_part_with_the_mapping_beside_them(tmp_path: Path) -> None:
    scenario = (DEMO / "ridge-five-metres.toml").read_text()
    done = run(
        "simulate", "-", "-o", tmp_path, text=scenario.replace("[output]", "[sensors.imu]\nrate_hz = 50\n[output]")
    )
    assert done.returncode == 0, done.stderr
    log, sensor = tmp_path / "ridge-five-metres.igc", tmp_path / "ridge-five-metres.imu.csv"
    # Columns that nobody would know by their names, and a mapping beside them that knows.
    odd = tmp_path / "odd.csv"
    header, rest = sensor.read_text().split("\n", 1)
    odd.write_text(",".join(f"c{k}" for k in range(header.count(",") + 1)) + "\n" + rest)
    names = header.split(",")
    at = {name: f'"c{k}"' for k, name in enumerate(names)}
    gyro, accel = ([at[name] for name in names if kind in name] for kind in ("gyro", "acc"))
    assert len(gyro) == len(accel) == 3, header
    unit = "deg/s" if "deg" in next(name for name in names if "gyro" in name) else "rad/s"
    odd.with_name("odd.csv.toml").write_text(
        f'time = "c0"\ngyro = {{ columns = [{", ".join(gyro)}], unit = "{unit}" }}\n'
        f'accel = {{ columns = [{", ".join(accel)}], unit = "m/s2" }}\n'
    )
    for sensors in ([sensor], [odd], [sensor, odd]):
        report = driftless.report(log, imu=sensors)
        expected = document("report", log, *(word for path in sensors for word in ("--imu", path)))
        assert report["inertial"]["used"] if "used" in report["inertial"] else report["inertial"]
        assert without_command(report) == without_command(expected)
    assert driftless.report(log, imu=sensor)["windows"] == driftless.report(log, imu=[sensor])["windows"]
    of_bytes = driftless.report(log, imu=sensor.read_bytes())
    assert of_bytes["windows"] == driftless.report(log, imu=sensor)["windows"] != driftless.report(log)["windows"]


def test_bytes_give_what_their_file_gives() -> None:
    log, marks = DEMO / "lake-evening.csv", DEMO / "lake-evening.marks.csv"
    of_path = driftless.report("lake-evening.csv", marks="lake-evening.marks.csv")
    with log.open("rb") as open_log:
        for given in (log.read_bytes(), bytearray(log.read_bytes()), memoryview(log.read_bytes()), open_log):
            of_bytes = driftless.report(given, marks=marks.read_bytes(), name="lake-evening.csv")
            assert without_command(of_bytes) == without_command(of_path)
    assert driftless.report(log.read_bytes(), marks=marks)["log"]["file"] == "log"


def test_the_call_stands_in_the_document_without_folders() -> None:
    report = driftless.report(DEMO / "lake-evening.csv", marks=DEMO / "lake-evening.marks.csv", units="kmh")
    command = "driftless.report('lake-evening.csv', marks='lake-evening.marks.csv', units='kmh')"
    assert report["made_by"]["command"] == command


def told_by_the_program(page: str) -> str:
    """A page or a text without the call that it was made by."""
    return re.sub(r"driftless(\.report\(|\.compare\(| report | compare )[^<\n]*", "CALL", page)


def test_page_text_and_charts_are_those_of_the_program(tmp_path: Path) -> None:
    done = run("report", "ridge-five-metres.igc", "--units", "kt", "--format", "html", "--charts", tmp_path)
    report = driftless.report("ridge-five-metres.igc", units="kt")
    assert told_by_the_program(report.html()) == told_by_the_program(done.stdout)
    text = run("report", "ridge-five-metres.igc", "--units", "kt", "--format", "text").stdout
    assert told_by_the_program(report.text()) == told_by_the_program(text)
    charts = report.charts()
    assert {f"{name}.svg" for name in charts} == {path.name for path in tmp_path.iterdir()} and len(charts) > 5
    for name, svg in charts.items():
        assert svg == (tmp_path / f"{name}.svg").read_text()
        assert ElementTree.fromstring(svg).tag.endswith("svg")


def test_a_report_is_a_dictionary_that_tells_itself_in_words() -> None:
    report = driftless.report("ridge-five-metres.igc")
    assert isinstance(report, dict) and json.loads(json.dumps(report)) == report
    for words in (str(report), repr(report), report.brief(60)):
        assert words.startswith("ridge-five-metres.igc") and "schema" not in words
    assert max(map(len, report.brief(60).splitlines())) <= 60 < max(map(len, report.brief(100).splitlines()))


def test_a_notebook_is_shown_a_piece_that_leaves_its_page_alone() -> None:
    report = driftless.report("ridge-five-metres.igc")
    shown = report._repr_mimebundle_()
    piece = shown["text/html"]
    for never in ("<style", "<script", "<iframe", " id=", "href="):
        assert never not in piece
    assert piece.count("<tr>") == 1 + len(report["windows"]) and "data:image/svg+xml" in piece
    assert shown["text/plain"] == repr(report)
    assert len(piece) < 100_000 < len(report.html())


def test_a_saved_page_is_whole_or_not_there(tmp_path: Path) -> None:
    report = driftless.report("ridge-five-metres.igc")
    report.save(tmp_path / "page.html")
    assert (tmp_path / "page.html").read_text() == report.html()
    with pytest.raises(FileNotFoundError):
        report.save(tmp_path / "none" / "page.html")
    assert [path.name for path in tmp_path.iterdir()] == ["page.html"]


def everything(report: Any) -> list[Any]:
    return [dict(report), report.html(), report.text(), report.charts(), repr(report), report._repr_html_()]


def test_a_report_comes_whole_out_of_another_process() -> None:
    report = driftless.report("ridge-five-metres.igc", units="kt")
    there = subprocess.run(
        [sys.executable, "-c", "import pickle, sys; pickle.dump(pickle.load(sys.stdin.buffer), sys.stdout.buffer)"],
        input=pickle.dumps(report),
        capture_output=True,
        check=True,
    )
    back = pickle.loads(there.stdout)
    assert type(back) is driftless.Report and everything(back) == everything(report)
    assert len(pickle.dumps(report)) < 500_000


def test_a_log_without_a_usable_window_is_a_document_and_no_exception(tmp_path: Path) -> None:
    rows = "".join(f"2026-05-01T06:{s // 60:02}:{s % 60:02}Z,{47 + 1e-4 * s:.6f},11\n" for s in range(30))
    log = tmp_path / "straight.csv"
    log.write_text("time,lat,lon\n" + rows)
    done = subprocess.run([PROGRAM, "report", log, "--format", "json"], capture_output=True, text=True)
    report = driftless.report(log)
    assert done.returncode == 1 and without_command(report) == without_command(json.loads(done.stdout))
    assert not any(window["accepted"] for window in report["windows"])
    assert "<img" in report._repr_html_() and report.html()


def test_limits_go_by_the_names_of_the_program() -> None:
    few = driftless.report("ridge-five-metres.igc", limits={"problems": 1})
    with pytest.raises(driftless.LogError) as refused:
        driftless.report("ridge-five-metres.igc", limits={"fixes": 5})
    assert refused.value.code == "over-limit" and refused.value.help is not None
    assert 'limits={"fixes": N}' in refused.value.help
    assert few["windows"]
    with pytest.raises(driftless.OptionError, match="text-bytes"):
        driftless.report("ridge-five-metres.igc", limits={"fixe": 5})
