"""The fits of the wind, by themselves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol, Sequence, Union

from . import _native


class _Numbers(Protocol):
    """Numbers one after the other: a list, an array of NumPy or of the standard library, a column of pandas or Polars."""

    def __len__(self) -> int: ...
    def __getitem__(self, index: int, /) -> float: ...


Numbers = Union[Sequence[float], _Numbers]


@dataclass(frozen=True)
class CircleFit:
    """A circle in velocity space: its centre is the wind, its radius the airspeed.

    `std_u` are standard uncertainties, residuals that follow each other accounted for; that of the wind is along its worst
    direction. `wind_cov_m2_s2` is the covariance of the wind: east-east, east-north, north-north.
    """

    wind_east_mps: float
    wind_north_mps: float
    wind_speed_mps: float
    wind_from_deg: float
    wind_std_u_mps: float
    wind_cov_m2_s2: tuple[float, float, float]
    airspeed_mps: float
    airspeed_std_u_mps: float
    residual_mps: float
    heading_coverage_deg: float
    effective_samples: float


@dataclass(frozen=True)
class DriftFit:
    """A steady turn in steady wind, fitted to positions: a circle in the air, a trochoid over the ground.

    Turn to the right is positive. `heading_deg` and `middle_*` are those in the middle of the span.
    """

    turn_rate_deg_s: float
    turn_rate_std_u_deg_s: float
    turn_rate_low95_deg_s: float
    turn_rate_high95_deg_s: float
    airspeed_mps: float
    airspeed_std_u_mps: float
    heading_deg: float
    wind_east_mps: float
    wind_north_mps: float
    wind_speed_mps: float
    wind_from_deg: float
    wind_cov_m2_s2: tuple[float, float, float]
    middle_s: float
    middle_east_m: float
    middle_north_m: float
    residual_m: float


def fit_circle(east_mps: Numbers, north_mps: Numbers) -> CircleFit:
    """Fits a circle to velocities over the ground, robustly: centre = wind, radius = airspeed.

    Velocities in time order, evenly spaced as far as possible. Raises `FitError` where they lie on a line, in one spot or on
    too short an arc.
    """
    return CircleFit(**_native.fit_circle(east_mps, north_mps))


def fit_drift(t_s: Numbers, east_m: Numbers, north_m: Numbers, *, wind: CircleFit | None = None) -> DriftFit:
    """Fits the circle-drift model to positions: turn rate, airspeed and wind of a span that turns steadily.

    `t_s` rises strictly. `wind`: what is known of the wind beforehand, from a circle that was flown in it; without it the span
    has to turn far enough to tell the wind by itself. Raises `FitError` where nothing fits.
    """
    known = None if wind is None else (wind.wind_east_mps, wind.wind_north_mps, wind.wind_cov_m2_s2)
    return DriftFit(**_native.fit_drift(t_s, east_m, north_m, wind=known))
