from collections.abc import Sequence
from typing import Any, Literal, TypedDict, final

from ._fits import Numbers
from ._log import Check, Mark, Problem
from ._paths import Given
from ._errors import DriftlessError
import os

__all__ = [
    "ArrowTable",
    "Campaign",
    "Flight",
    "LOG_ENDINGS",
    "Log",
    "__version__",
    "analyse",
    "compare",
    "fit_circle",
    "fit_drift",
    "read_log",
    "windows",
]

LOG_ENDINGS: tuple[str, ...]
__version__: str

class _Wind(TypedDict):
    wind_east_mps: float
    wind_north_mps: float
    wind_speed_mps: float
    wind_from_deg: float
    wind_cov_m2_s2: tuple[float, float, float]

class _Circle(_Wind):
    airspeed_mps: float
    airspeed_std_u_mps: float
    wind_std_u_mps: float
    residual_mps: float
    heading_coverage_deg: float
    effective_samples: float

class _Drift(_Wind):
    turn_rate_deg_s: float
    turn_rate_std_u_deg_s: float
    turn_rate_low95_deg_s: float
    turn_rate_high95_deg_s: float
    airspeed_mps: float
    airspeed_std_u_mps: float
    heading_deg: float
    middle_s: float
    middle_east_m: float
    middle_north_m: float
    residual_m: float

@final
class ArrowTable:
    """Rows as Arrow columns, for whoever speaks the Arrow PyCapsule interface."""

    def __arrow_c_schema__(self) -> object: ...
    def __arrow_c_stream__(self, requested_schema: object | None = None) -> object: ...
    def __len__(self) -> int: ...
    @property
    def columns(self) -> dict[str, str]: ...
    def to_dict(self) -> dict[str, list[Any]]: ...

@final
class Flight:
    def json(self) -> str: ...
    def html(self) -> str: ...
    def piece(self) -> str: ...
    def text(self) -> str: ...
    def brief(self, width: int) -> str: ...
    def charts(self) -> list[tuple[str, str]]: ...

@final
class Campaign:
    @property
    def failures(self) -> list[str]: ...
    def json(self) -> str: ...
    def html(self) -> str: ...
    def piece(self) -> str: ...
    def text(self, width: int) -> str: ...
    def brief(self, width: int) -> str: ...
    def charts(self) -> list[tuple[str, str]]: ...

@final
class Log:
    """A log as it stands in the file."""

    @property
    def file(self) -> str: ...
    @property
    def sha256(self) -> str: ...
    @property
    def format(self) -> str: ...
    @property
    def fixes(self) -> ArrowTable: ...
    @property
    def marks(self) -> list[Mark]: ...
    @property
    def problems(self) -> list[Problem]: ...
    def check(self) -> Check: ...
    def __len__(self) -> int: ...

def analyse(
    log: Given,
    *,
    name: str | None,
    marks: Given | None,
    imu: Given | Sequence[Given] | None,
    csv_map: Given | None,
    units: str | None,
    limits: dict[str, int] | None,
    command: str,
) -> Flight: ...
def compare(
    campaign: str | os.PathLike[str],
    *,
    units: str | None,
    jobs: int | None,
    anonymous: bool,
    limits: dict[str, int] | None,
    command: str,
) -> Campaign: ...
def read_log(log: Given, *, name: str | None, csv_map: Given | None, limits: dict[str, int] | None) -> Log: ...
def fit_circle(east_mps: Numbers, north_mps: Numbers) -> _Circle: ...
def fit_drift(
    t_s: Numbers,
    east_m: Numbers,
    north_m: Numbers,
    *,
    wind: tuple[float, float, tuple[float, float, float]] | None,
) -> _Drift: ...
def windows(
    logs: list[tuple[Given, str | None, Given | None]],
    *,
    csv_map: Given | None,
    jobs: int | None,
    on_error: Literal["raise", "skip"],
    limits: dict[str, int] | None,
) -> tuple[ArrowTable, list[tuple[int, str, DriftlessError]]]: ...
