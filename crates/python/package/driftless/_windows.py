"""Many logs to one table, a row for each hands-off window."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, Union, cast

from . import _native
from ._errors import DriftlessError, OptionError
from ._paths import Given

#: A log by its path, its contents, or its contents with the name that they go by.
Named = Union[Given, "tuple[str, Given]"]


@dataclass(frozen=True)
class Failure:
    """A log that gave no rows: which of those given, by what name, and why."""

    index: int
    name: str
    error: DriftlessError


class Windows:
    """A row for each hands-off window of many logs, in the order of the logs, refused windows with their reasons.

    Hands its rows to whoever speaks the Arrow PyCapsule interface: `pyarrow.table(windows)`, `polars.DataFrame(windows)`,
    DuckDB by name in a query, `pandas.DataFrame.from_arrow(windows)` (pandas 3) or `pyarrow.table(windows).to_pandas()`.
    `columns` says what each column holds.
    """

    def __init__(self, table: _native.ArrowTable, failures: list[Failure]) -> None:
        self._table = table
        self.failures = failures

    def __arrow_c_schema__(self) -> object:
        return self._table.__arrow_c_schema__()

    def __arrow_c_stream__(self, requested_schema: object | None = None) -> object:
        return self._table.__arrow_c_stream__(requested_schema)

    def __len__(self) -> int:
        return len(self._table)

    @property
    def columns(self) -> dict[str, str]:
        """Names of the columns, each with what it holds."""
        return self._table.columns

    def to_dict(self) -> dict[str, list[Any]]:
        """Each column as a list, for whoever has no library for tables."""
        return self._table.to_dict()

    def __repr__(self) -> str:
        failed = f", {len(self.failures)} logs failed" if self.failures else ""
        return f"<driftless.Windows: {len(self)} rows, {len(self.columns)} columns{failed}>"


def windows(
    logs: Iterable[Named] | Given,
    *,
    marks: Sequence[Given | None] | Mapping[str, Given] | None = None,
    csv_map: Given | None = None,
    jobs: int | None = None,
    on_error: Literal["raise", "skip"] = "raise",
    limits: Mapping[str, int] | None = None,
) -> Windows:
    """Analyses many logs side by side, and gives one table with a row for each window.

    `logs`: paths, contents, or pairs of a name and contents; what is not a list is one log. `marks`: for each log its marks
    file or `None`, in the same order, or by the name of the log. `csv_map`: the column mapping of all CSV logs with other
    column names. `jobs`: threads (one for each core). `on_error`: "raise" raises the error of the first log that fails; "skip" goes on with the
    others and lists those that failed in `failures`. `limits`: as for `report`.
    """
    if on_error not in ("raise", "skip"):
        raise OptionError(f'on_error is "raise" or "skip", not {on_error!r}', code="bad-call")
    named: list[tuple[Given, str | None]]
    named = [(log[1], log[0]) if isinstance(log, tuple) else (log, None) for log in _listed(logs)]
    beside = _beside(marks, named)
    table, failed = _native.windows(
        [(log, name, of) for (log, name), of in zip(named, beside, strict=True)],
        csv_map=csv_map,
        jobs=jobs,
        on_error=on_error,
        limits=None if limits is None else dict(limits),
    )
    return Windows(table, [Failure(*failure) for failure in failed])


def _listed(logs: Iterable[Named] | Given) -> Iterable[Named]:
    # An open file and bytes could be gone through as well, line by line and byte by byte.
    if isinstance(logs, (str, bytes, bytearray, memoryview, os.PathLike)) or hasattr(logs, "read"):
        return [cast(Given, logs)]
    return logs


def _beside(
    marks: Sequence[Given | None] | Mapping[str, Given] | None, logs: list[tuple[Given, str | None]]
) -> list[Given | None]:
    """The marks of each log."""
    if marks is None:
        return [None] * len(logs)
    if isinstance(marks, Mapping):
        names = [name if name is not None else _path(log) for log, name in logs]
        unknown = sorted(set(marks) - set(names) - {None})
        if unknown:
            raise OptionError(f"marks are given for {unknown[0]!r}, which is none of the logs", code="bad-call")
        return [None if name is None else marks.get(name) for name in names]
    if isinstance(marks, (str, bytes, bytearray, memoryview, os.PathLike)) or len(marks) != len(logs):
        count = "one file" if isinstance(marks, (str, bytes, os.PathLike)) else f"{len(marks)} marks files"
        raise OptionError(
            f"marks belong to one log each: {count} for {len(logs)} logs; give a list with None where there is none",
            code="bad-call",
        )
    return list(marks)


def _path(log: Given) -> str | None:
    return os.fspath(log) if isinstance(log, (str, os.PathLike)) else None
