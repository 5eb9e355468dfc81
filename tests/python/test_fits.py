"""`driftless.fit_circle` and `driftless.fit_drift`: from motions whose truth is known."""

from __future__ import annotations

import array
import math
import pickle

import numpy
import pandas
import polars
import pytest

import driftless

WIND = (3.0, -2.0)
AIRSPEED = 10.0


def velocities(count: int = 72, noise: float = 0.0) -> tuple[list[float], list[float]]:
    chance = numpy.random.default_rng(1)
    headings = [math.radians(10.0 * k) for k in range(count)]
    east = [WIND[0] + AIRSPEED * math.sin(h) + noise * chance.standard_normal() for h in headings]
    north = [WIND[1] + AIRSPEED * math.cos(h) + noise * chance.standard_normal() for h in headings]
    return east, north


def trochoid(rate_deg_s: float, noise: float = 0.0, seconds: int = 60) -> tuple[list[float], list[float], list[float]]:
    """Positions of a steady turn in steady wind."""
    chance = numpy.random.default_rng(2)
    rate, heading = math.radians(rate_deg_s), 0.5
    times = [float(t) for t in range(seconds)]
    east = [WIND[0] * t - AIRSPEED / rate * (math.cos(heading + rate * t) - math.cos(heading)) for t in times]
    north = [WIND[1] * t + AIRSPEED / rate * (math.sin(heading + rate * t) - math.sin(heading)) for t in times]
    return (
        times,
        [e + noise * chance.standard_normal() for e in east],
        [n + noise * chance.standard_normal() for n in north],
    )


def test_a_circle_tells_wind_and_airspeed() -> None:
    fit = driftless.fit_circle(*velocities())
    assert (fit.wind_east_mps, fit.wind_north_mps) == pytest.approx(WIND, abs=1e-6)
    assert fit.airspeed_mps == pytest.approx(AIRSPEED, abs=1e-6) and fit.heading_coverage_deg >= 350
    assert fit.wind_from_deg == pytest.approx(303.69, abs=0.01)
    assert fit.wind_speed_mps == pytest.approx(math.hypot(*WIND))
    assert pickle.loads(pickle.dumps(fit)) == fit


def test_published_three_legs_give_their_true_airspeed() -> None:
    """D. Gray (1998): three legs, ground speed in knots and track."""
    legs = [(140.0, 192.0), (112.0, 283.0), (120.0, 20.0)]
    east = [speed * math.sin(math.radians(track)) for speed, track in legs]
    north = [speed * math.cos(math.radians(track)) for speed, track in legs]
    fit = driftless.fit_circle(east, north)
    assert fit.airspeed_mps == pytest.approx(130.0, abs=0.05) and fit.wind_from_deg == pytest.approx(314.8, abs=0.1)


def test_uncertainties_grow_with_the_noise_and_hold_the_truth() -> None:
    quiet, rough = (driftless.fit_circle(*velocities(noise=noise)) for noise in (0.1, 0.5))
    assert quiet.airspeed_std_u_mps < rough.airspeed_std_u_mps and quiet.wind_std_u_mps < rough.wind_std_u_mps
    assert abs(rough.airspeed_mps - AIRSPEED) < 4 * rough.airspeed_std_u_mps
    east_east, east_north, north_north = rough.wind_cov_m2_s2
    assert east_east > 0 and north_north > 0 and east_east * north_north > east_north**2
    assert rough.wind_std_u_mps**2 >= max(east_east, north_north)


@pytest.mark.parametrize(
    "kind", [list, tuple, numpy.array, lambda x: array.array("d", x), pandas.Series, polars.Series]
)
def test_whatever_holds_numbers_will_do(kind) -> None:  # type: ignore[no-untyped-def]
    east, north = velocities()
    assert driftless.fit_circle(kind(east), kind(north)) == driftless.fit_circle(east, north)


@pytest.mark.parametrize("rate_deg_s", [-9.0, 4.0, 12.0])
def test_a_steady_turn_tells_its_rate(rate_deg_s: float) -> None:
    fit = driftless.fit_drift(*trochoid(rate_deg_s, noise=0.3))
    assert fit.turn_rate_low95_deg_s < rate_deg_s < fit.turn_rate_high95_deg_s
    assert fit.turn_rate_std_u_deg_s < 0.2 and fit.airspeed_mps == pytest.approx(AIRSPEED, abs=1.0)
    assert fit.heading_deg == pytest.approx((math.degrees(0.5) + rate_deg_s * fit.middle_s) % 360, abs=5)


def test_a_wind_known_beforehand_tells_the_turn_of_a_nearly_straight_span() -> None:
    wind = driftless.fit_circle(*velocities(noise=0.2))
    span = trochoid(0.5, noise=0.3, seconds=40)
    known, alone = driftless.fit_drift(*span, wind=wind), driftless.fit_drift(*span)
    assert known.turn_rate_std_u_deg_s < alone.turn_rate_std_u_deg_s
    assert abs(known.turn_rate_deg_s - 0.5) < 4 * known.turn_rate_std_u_deg_s


def test_data_that_determine_nothing_are_refused_in_words() -> None:
    straight = [float(t) for t in range(30)]
    for call, words in [
        (lambda: driftless.fit_circle(straight, straight), "not a circle"),
        (lambda: driftless.fit_circle([1.0], [1.0]), "at least 3"),
        (lambda: driftless.fit_circle([math.nan, 1.0, 2.0], [1.0, 2.0, 0.0]), "velocity 0"),
        (lambda: driftless.fit_drift([0.0], [0.0], [0.0]), "at least 8"),
        (lambda: driftless.fit_drift(straight[::-1], straight, straight), "does not rise"),
        (lambda: driftless.fit_drift(straight[:20], straight, straight), "20 times"),
    ]:
        with pytest.raises(driftless.FitError, match=words):
            call()
    with pytest.raises(driftless.OptionError, match="east_mps has 2"):
        driftless.fit_circle([1.0, 2.0], [1.0])
    with pytest.raises(TypeError):
        driftless.fit_circle(["north"], [1.0])  # type: ignore[list-item]
