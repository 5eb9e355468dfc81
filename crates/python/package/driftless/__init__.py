"""How much does a paramotor turn on its own? Turn rates from flight logs, with the wind taken out.

    >>> import driftless
    >>> report = driftless.report("flight.igc")     # a dictionary: the document of one flight
    >>> print(report.brief())                       # the first screen in words
    >>> report.save("flight.report.html")           # the page with its charts

* `report`: one log to its document, page, charts and text. `compare`: a campaign file to the same.
* `windows`: many logs to one table, a row for each hands-off window, for pandas, Polars, DuckDB or pyarrow.
* `read_log`, `check`: a log as it stands in the file, and what is wrong with it; nothing is estimated.
* `fit_circle`, `fit_drift`: the fits of the wind, by themselves.
* `DriftlessError` and what is derived from it: why a call gives no result, where, and what to do.

Units are SI and stand in the names; turn to the right is positive; times are UTC. Nothing leaves the machine.
"""

from ._errors import (
    CampaignError,
    DriftlessError,
    FileError,
    FitError,
    LogError,
    MappingError,
    MarksError,
    NoTrackError,
    OptionError,
    Place,
)
from ._fits import CircleFit, DriftFit, fit_circle, fit_drift
from ._log import check, read_log
from ._native import ArrowTable, Log, __version__
from ._report import Comparison, Report, compare, report
from ._windows import Failure, Windows, windows

__all__ = [
    "ArrowTable",
    "CampaignError",
    "CircleFit",
    "Comparison",
    "DriftFit",
    "DriftlessError",
    "Failure",
    "FileError",
    "FitError",
    "Log",
    "LogError",
    "MappingError",
    "MarksError",
    "NoTrackError",
    "OptionError",
    "Place",
    "Report",
    "Windows",
    "__version__",
    "check",
    "compare",
    "fit_circle",
    "fit_drift",
    "read_log",
    "report",
    "windows",
]
