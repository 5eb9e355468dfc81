"""The documents against docs/schema, by the validator of jsonschema."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from conftest import CAMPAIGN_LOGS, DEMO, ROOT, TRACKS, document, flags, run

READABLE = sorted(
    path
    for kind in ("good", "odd")
    for path in (ROOT / "fixtures/formats").glob(f"*/{kind}/*")
    if path.suffix not in (".toml", ".md")
)


def validator(name: str) -> jsonschema.Draft202012Validator:
    schema = json.loads((ROOT / "docs/schema" / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema, format_checker=jsonschema.FormatChecker())


FLIGHT = validator("flight-report-1")
CAMPAIGN = validator("campaign-report-1")


def wrong(of: Any, by: jsonschema.Draft202012Validator) -> list[str]:
    return [f"{'/'.join(map(str, error.absolute_path))}: {error.message[:200]}" for error in by.iter_errors(of)]


@pytest.mark.parametrize("track", TRACKS)
def test_demo_tracks_keep_the_schema(track: str) -> None:
    assert wrong(document("report", track, *flags(TRACKS[track])), FLIGHT) == []


def test_what_is_odd_keeps_the_schema() -> None:
    done = run("report", *READABLE, "--format", "json")
    documents = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(documents) > 30
    assert {wrong_one for of in documents for wrong_one in wrong(of, FLIGHT)} == set()


def test_inertial_data_keep_the_schema(tmp_path: Path) -> None:
    sensor = "[sensors.imu]\nrate_hz = 50.0\nswing_deg = [2.5, 1.2, 1.5]\n\n[output]"
    scenario = (DEMO / "meadow-light-wind.toml").read_text(encoding="utf-8").replace("[output]", sensor)
    assert run("simulate", "-", "-o", tmp_path, text=scenario).returncode == 0
    log, imu = tmp_path / "meadow-light-wind.gpx", tmp_path / "meadow-light-wind.imu.csv"
    whole = document("report", log, "--imu", imu)
    assert whole["inertial"]["used_in_turn_rates"] is not None
    assert wrong(whole, FLIGHT) == []
    # The sensor of another flight: nothing of it can be used, and all its keys stay.
    other = document("report", CAMPAIGN_LOGS[0], "--imu", imu)
    assert wrong(other, FLIGHT) == []


def test_a_campaign_keeps_the_schema() -> None:
    assert wrong(document("compare", DEMO / "campaign/campaign.toml"), CAMPAIGN) == []


def test_the_schema_tells_what_is_wrong() -> None:
    right = document("report", "meadow-light-wind.gpx")
    for change in [
        lambda of: of["windows"][0].pop("turn_rate"),
        lambda of: of["windows"][0].update(accepted="yes"),
        lambda of: of["windows"][0]["turn_rate"].update(value_deg_s="1.8"),
        lambda of: of["log"].update(start_utc="yesterday"),
        lambda of: of.update(schema="driftless/flight-report/2"),
        lambda of: of["windows"][0].update(scenario="cruise"),
    ]:
        broken = copy.deepcopy(right)
        change(broken)
        assert wrong(broken, FLIGHT), "a change was not seen"
    # What is added is no fault: programs must take keys that they do not know.
    assert wrong({**right, "new": 1}, FLIGHT) == []
