"""The tables beside the windows: what was read, and what gave nothing."""

from __future__ import annotations

from typing import Any

import pyarrow

from .._errors import DriftlessError

_WORDS, _COUNT = pyarrow.string(), pyarrow.int64()

#: A log that was read.
LOGS = pyarrow.schema(
    [
        ("log_path", _WORDS),
        ("log_sha256", _WORDS),
        ("marks_sha256", _WORDS),
        ("bytes", _COUNT),
        ("windows", _COUNT),
        ("failed", pyarrow.bool_()),
    ]
)

#: A log that gave nothing.
FAILURES = pyarrow.schema(
    [
        ("log_path", _WORDS),
        ("log_sha256", _WORDS),
        ("kind", _WORDS),
        ("code", _WORDS),
        ("message", _WORDS),
        ("line", _COUNT),
        ("help", _WORDS),
    ]
)


def failure(path: str, sha256: str | None, error: Exception, code: str = "file-not-read") -> dict[str, Any]:
    """A row of `FAILURES`."""
    ours = error if isinstance(error, DriftlessError) else None
    return {
        "log_path": path,
        "log_sha256": sha256,
        "kind": type(error).__name__,
        "code": ours.code if ours else code,
        "message": str(error),
        "line": ours.place.line if ours and ours.place else None,
        "help": ours.help if ours else None,
    }
