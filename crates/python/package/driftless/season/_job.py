"""The job: which logs there are, which are done, and what becomes of a batch of them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import pyarrow
import pyarrow.compute as compute

from .._native import LOG_ENDINGS, __version__
from .._windows import windows
from ._places import Place
from ._tables import FAILURES, LOGS, failure

#: How the names of files end that belong to a log: marks and inertial data.
_BESIDE = (".marks.csv", ".imu.csv")

_SETTINGS = "season.json"

#: Before the names of failures that are tried again.
_UNREAD = "failures/unread-"


class SeasonError(Exception):
    """The job cannot begin."""


class Item(NamedTuple):
    """A log by its path in the source, and the marks beside it."""

    log: str
    marks: str | None


@dataclass
class Summary:
    """What a run did."""

    logs: int = 0
    analysed: int = 0
    skipped: int = 0
    failed: int = 0
    rows: int = 0

    def add(self, of_batch: Mapping[str, int]) -> None:
        """Counts a batch."""
        for name, count in of_batch.items():
            setattr(self, name, getattr(self, name) + count)

    def __str__(self) -> str:
        return (
            f"{self.logs} logs: {self.analysed} analysed, {self.skipped} known already, {self.failed} failed; "
            f"{self.rows} windows"
        )


@dataclass(frozen=True)
class Season:
    """Every log of a folder to tables; small, so that it is sent to workers."""

    source: Place
    target: Place
    csv_map: bytes | None = None
    limits: Mapping[str, int] = field(default_factory=dict)
    #: Logs that are held in memory together, and stand together in a file of rows.
    batch_logs: int = 32

    def settings(self) -> dict[str, Any]:
        """What decides about the rows beside the logs themselves."""
        return {
            "version": __version__,
            "csv_map_sha256": None if self.csv_map is None else _sha256(self.csv_map),
            "limits": dict(sorted(self.limits.items())),
        }

    def begin(self) -> frozenset[str]:
        """Makes the output ready, and says which logs are in it by what they were made of.

        What a lost worker left half done goes: rows whose batch was not finished. Files that could not be read are forgotten,
        because they are tried again.
        """
        if not self.source.is_there():
            raise SeasonError(f"there is no folder {self.source.address}; check the spelling")
        there = self.target.files()
        if _SETTINGS in there:
            made_with = json.loads(self.target.read(_SETTINGS))
            if made_with != self.settings():
                raise SeasonError(
                    f"{self.target.address} was made with other settings ({_told(made_with)}) than are asked for now "
                    f"({_told(self.settings())}); name another folder"
                )
        elif there:
            raise SeasonError(f"{self.target.address} holds other files; name a folder that is empty or not there yet")
        else:
            self.target.write(_SETTINGS, json.dumps(self.settings(), indent=1).encode())
        finished = {_key(path) for path in there if path.startswith("logs/")}
        known: set[str] = set()
        for path in sorted(there):
            half_done = path.startswith(("windows/", "failures/")) and _key(path) not in finished
            if half_done or path.startswith(_UNREAD) or path.endswith(".part"):
                self.target.remove(path)
            elif path.startswith("logs/"):
                ledger = self.target.read_table(path, ["log_sha256", "marks_sha256"])
                known.update(map(_identity, *(ledger.column(k).to_pylist() for k in range(2))))
        return frozenset(known)

    def batches(self) -> Iterator[list[Item]]:
        """The logs, a few at a time, in the order of their paths."""
        files = self.source.files()
        logs = [Item(path, _marks_of(path, files)) for path in sorted(files) if _is_log(path)]
        for start in range(0, len(logs), self.batch_logs):
            yield logs[start : start + self.batch_logs]

    def run_batch(self, items: Sequence[Item], known: frozenset[str], threads: int | None) -> dict[str, int]:
        """Analyses a few logs and writes what they give. Whatever is wrong with a log is a row, and never an exception.

        Doing it twice does no harm: the files have the same names and the same rows.
        """
        new: list[_Log] = []
        unread: list[dict[str, Any]] = []
        seen = set(known)
        for item in items:
            try:
                one = _Log(
                    item.log, self.source.read(item.log), None if item.marks is None else self.source.read(item.marks)
                )
            except Exception as error:  # File systems raise what they like.
                unread.append(failure(item.log, None, error))
                continue
            if one.identity not in seen:
                seen.add(one.identity)
                new.append(one)
        made = self._analyse(new, threads)
        key = _sha256(json.dumps([[item.log for item in items], [one.identity for one in new]]).encode())[:24]
        for year, rows in made.by_year():
            self.target.write_table(f"windows/year={year}/{key}.parquet", rows)
        if made.failures:
            self.target.write_table(f"failures/{key}.parquet", pyarrow.Table.from_pylist(made.failures, FAILURES))
        if unread:
            self.target.write_table(f"{_UNREAD}{key}.parquet", pyarrow.Table.from_pylist(unread, FAILURES))
        if new:
            # Last: what stands in the ledger counts from then on.
            self.target.write_table(f"logs/{key}.parquet", pyarrow.Table.from_pylist(made.ledger, LOGS))
        return {
            "logs": len(items),
            "analysed": len(new),
            "skipped": len(items) - len(new) - len(unread),
            "failed": len(unread) + len(made.failures),
            "rows": made.rows.num_rows,
        }

    def give_up(self, item: Item, why: Exception) -> dict[str, int]:
        """Writes down a log that brought its worker down; the next run tries it again."""
        key = _sha256(json.dumps(item).encode())[:24]
        row = failure(item.log, None, why, code="worker-lost")
        self.target.write_table(f"{_UNREAD}{key}.parquet", pyarrow.Table.from_pylist([row], FAILURES))
        return {"logs": 1, "failed": 1}

    def _analyse(self, logs: Sequence[_Log], threads: int | None) -> _Made:
        table = windows(
            [(one.path, one.log) for one in logs],
            marks=[one.marks for one in logs],
            csv_map=self.csv_map,
            jobs=threads,
            on_error="skip",
            limits=self.limits,
        )
        rows = pyarrow.table(table)
        counts = _rows_of_each(logs, rows)
        path_of_row = [one.path for one, count in zip(logs, counts, strict=True) for _ in range(count)]
        rows = rows.add_column(
            0, pyarrow.field("log_path", pyarrow.string()), pyarrow.array(path_of_row, pyarrow.string())
        )
        failed = {of.index: of.error for of in table.failures}
        ledger = [
            {
                "log_path": one.path,
                "log_sha256": one.sha256,
                "marks_sha256": one.marks_sha256,
                "bytes": len(one.log),
                "windows": count,
                "failed": index in failed,
            }
            for index, (one, count) in enumerate(zip(logs, counts, strict=True))
        ]
        return _Made(rows, ledger, [failure(logs[at].path, logs[at].sha256, error) for at, error in failed.items()])


class _Log:
    """A log in hand."""

    def __init__(self, path: str, log: bytes, marks: bytes | None) -> None:
        self.path, self.log, self.marks = path, log, marks
        self.sha256 = _sha256(log)
        self.marks_sha256 = None if marks is None else _sha256(marks)
        self.identity = _identity(self.sha256, self.marks_sha256)


@dataclass
class _Made:
    """What a batch gave."""

    rows: pyarrow.Table
    ledger: list[dict[str, Any]]
    failures: list[dict[str, Any]]

    def by_year(self) -> Iterable[tuple[int, pyarrow.Table]]:
        """Rows by the year in which their log begins, UTC."""
        years = compute.year(self.rows.column("log_start_utc"))
        for year in sorted(set(years.to_pylist())):
            yield year, self.rows.filter(compute.equal(years, year))


def _rows_of_each(logs: Sequence[_Log], rows: pyarrow.Table) -> list[int]:
    """How many rows each log has. Rows stand in the order of the logs, and windows count from 1 in each; the hash alone does
    not tell two of the same bytes with different marks apart."""
    hashes, ids = rows.column("made_by_input_sha256").to_pylist(), rows.column("id").to_pylist()
    at, counts = 0, []
    for one in logs:
        start = at
        while at < len(ids) and hashes[at] == one.sha256 and (at == start or ids[at] > ids[at - 1]):
            at += 1
        counts.append(at - start)
    return counts


def _marks_of(log: str, files: Mapping[str, int]) -> str | None:
    """`day/flight.igc` and `day/flight.igc.gz` have their marks in `day/flight.marks.csv`, where they have any."""
    plain = log[: -len(".gz")] if log.lower().endswith(".gz") else log
    marks = plain[: plain.rindex(".")] + _BESIDE[0]
    return marks if marks in files else None


def _is_log(path: str) -> bool:
    name = path.lower().removesuffix(".gz")
    return name.endswith(LOG_ENDINGS) and not name.endswith(_BESIDE)


def _sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _identity(log_sha256: str, marks_sha256: str | None) -> str:
    return log_sha256 if marks_sha256 is None else f"{log_sha256}+{marks_sha256}"


def _key(path: str) -> str:
    return path.rsplit("/", 1)[-1].removesuffix(".parquet")


def _told(settings: Mapping[str, Any]) -> str:
    return ", ".join(f"{name} {value}" for name, value in settings.items())
