"""A log as it stands in the file, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypedDict

from . import _native
from ._paths import Given


class Problem(TypedDict):
    """Something that was dropped or odd; like ones are counted, and the first keeps its place."""

    code: str
    severity: str
    message: str
    line: int | None
    byte: int | None
    count: int
    help: str | None


class Mark(TypedDict):
    """A moment that the pilot or the logger marked."""

    time_utc: str
    kind: str
    scenario: str | None
    text: str
    line: int | None


class Check(TypedDict):
    """What `driftless check` tells of a log. Where it is not usable, `reason` says why."""

    file: str
    format: str
    sha256: str
    usable: bool
    reason: str | None
    fixes_read: int
    fixes_used: int
    marks: int
    start_utc: str | None
    end_utc: str | None
    median_interval_s: float | None
    gaps: int | None
    problems: list[Problem]


def read_log(
    log: Given, *, csv_map: Given | None = None, name: str | None = None, limits: Mapping[str, int] | None = None
) -> _native.Log:
    """Reads a log: every fix as a row of `fixes` (a table for pandas, Polars, DuckDB or pyarrow), `marks`, `problems`.

    Raises `LogError` or `FileError` where it cannot be read at all.
    """
    return _native.read_log(log, name=name, csv_map=csv_map, limits=None if limits is None else dict(limits))


def check(
    log: Given, *, csv_map: Given | None = None, name: str | None = None, limits: Mapping[str, int] | None = None
) -> Check:
    """Reads a log and cleans its track, and tells all that was found on the way; nothing is estimated.

    A log that was read and holds no track is not an error here: `usable` is false, and `reason` says why.
    """
    return read_log(log, csv_map=csv_map, name=name, limits=limits).check()
