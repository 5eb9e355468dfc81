#!/usr/bin/env python3
"""Driftless against general libraries that share no line with it, on questions drawn by chance.

    bash tests/differential/run.sh

Prints a table: what, the library and its version, how many questions, the largest difference, what is allowed. Ends with 1 when one is
larger.
"""

from __future__ import annotations

import importlib.metadata
import math
import pathlib
import subprocess
import sys
import warnings
from collections.abc import Callable, Iterable, Sequence

import aerofiles.igc
import gpxpy
import numpy
import pynmea2
import pyproj
import scipy.odr
import scipy.optimize
import scipy.stats
from statsmodels.stats.meta_analysis import combine_effects
from statsmodels.stats.multitest import multipletests

import driftless

REPOSITORY = pathlib.Path(__file__).resolve().parents[2]
EXAMPLES = REPOSITORY / "target" / "release" / "examples"
CHANCE = numpy.random.default_rng(20_260_501)
QUESTIONS = 2_000

rows: list[tuple[str, str, int, float, float]] = []


def compared(what: str, library: str, differences: Sequence[float], allowed: float) -> None:
    """Notes a comparison: differences in the unit that `what` names."""
    version = importlib.metadata.version(library)
    largest = max(differences)
    rows.append((what, f"{library} {version}", len(differences), largest, allowed))
    print(f"| {what} | {library} {version} | {len(differences)} | {largest:.1e} | {allowed:.0e} |", flush=True)


def answers(example: str, questions: Iterable[Sequence[object]]) -> list[list[float]]:
    """What an example of ours says to questions, one a line."""
    asked = "\n".join(" ".join(str(word) for word in question) for question in questions)
    told = subprocess.run([EXAMPLES / example], input=asked, capture_output=True, text=True, check=True).stdout
    return [[float(number) for number in line.split()] for line in told.splitlines()]


def relative(ours: float, theirs: float, scale: float = 0.0) -> float:
    return abs(ours - theirs) / max(abs(theirs), scale, 1e-300)


def geodesics() -> None:
    """Places within 40 km, everywhere on Earth: against the topocentric frame of PROJ."""
    latitudes = numpy.degrees(numpy.arcsin(CHANCE.uniform(-1, 1, QUESTIONS)))
    questions = []
    theirs = []
    for latitude in latitudes:
        longitude, height = CHANCE.uniform(-180, 180), CHANCE.uniform(0, 4_000)
        north, bearing = CHANCE.uniform(0, 40_000), CHANCE.uniform(0, 360)
        place = pyproj.Geod(ellps="WGS84").fwd(longitude, latitude, bearing, north)
        frame = f"+ellps=WGS84 +lat_0={latitude} +lon_0={longitude} +h_0={height}"
        road = pyproj.Transformer.from_pipeline(
            f"+proj=pipeline +step +proj=cart +ellps=WGS84 +step +proj=topocentric {frame}"
        )
        east, north, _ = road.transform(place[0], place[1], height)
        questions.append((latitude, longitude, height, place[1], place[0]))
        theirs.append((east, north))
    ours = answers("local", questions)
    compared("places in the local frame, m", "pyproj",
             [math.hypot(o[0] - t[0], o[1] - t[1]) for o, t in zip(ours, theirs, strict=True)], 1e-6)
    metres = [pyproj.Geod(ellps="WGS84").inv(q[4], q[3], o[3], o[2])[2] for q, o in zip(questions, ours, strict=True)]
    compared("and back again, m", "pyproj", metres, 1e-6)


def tracks() -> None:
    """Fixes of logs that both can read: each that we use, where they have it."""
    flown = sorted((REPOSITORY / "demo-tracks").glob("*.gpx"))
    logs = flown + sorted((REPOSITORY / "fixtures/formats/gpx/good").glob("*.gpx"))
    apart = []
    for log in logs:
        points = [p for t in gpxpy.parse(log.read_text(encoding="utf-8")).tracks for s in t.segments for p in s.points]
        theirs = {p.time.timestamp(): (p.latitude, p.longitude) for p in points if p.time}
        apart += fixes_apart(log, theirs, 1e-3)
    compared("places of GPX, °", "gpxpy", apart, 1e-9)

    apart = []
    for log in [*(REPOSITORY / "demo-tracks").glob("*.igc"), *(REPOSITORY / "fixtures/formats/igc/good").glob("*.igc")]:
        # More digits of a place, which the format allows to be added behind, are not in the places of that library.
        if "LAD" not in log.read_text(encoding="latin-1"):
            with log.open(encoding="latin-1") as lines:
                of = aerofiles.igc.Reader().read(lines)
            # Nor are parts of a second in its times.
            theirs = {fix["datetime"].timestamp(): (fix["lat"], fix["lon"]) for fix in of["fix_records"][1]}
            apart += fixes_apart(log, theirs, 1e-3, math.floor)
    compared("places of IGC, °", "aerofiles", apart, 1e-9)

    apart = []
    for log in sorted((REPOSITORY / "fixtures/formats/nmea/good").glob("*.nmea")):
        theirs = {}
        for line in log.read_text(encoding="utf-8", errors="replace").splitlines():
            try:
                sentence = pynmea2.parse(line.strip())
            except pynmea2.ParseError:
                continue
            if sentence.sentence_type == "RMC" and sentence.status == "A":
                theirs[sentence.datetime.timestamp()] = (sentence.latitude, sentence.longitude)
        if theirs:
            apart += fixes_apart(log, theirs, 2e-3)
    compared("places of NMEA 0183, °", "pynmea2", apart, 1e-9)


def fixes_apart(
    log: pathlib.Path, theirs: dict[float, tuple[float, float]], most_missing: float, as_theirs: Callable[[float], float] = float
) -> list[float]:
    columns = driftless.read_log(log).fixes.to_dict()
    apart = []
    missing = 0
    for time, latitude, longitude in zip(columns["time_utc"], columns["lat_deg"], columns["lon_deg"], strict=True):
        place = theirs.get(as_theirs(time.timestamp()))
        if place is None:
            missing += 1
        else:
            apart.append(max(abs(place[0] - latitude), abs(place[1] - longitude)))
    if missing > most_missing * len(apart) + 1:
        sys.exit(f"{log}: {missing} of our fixes are not theirs")
    return apart


def means() -> None:
    """Random-effects means, straight lines, quantiles, adjusted probabilities."""
    for ours_called, theirs_called in (("paule-mandel", "iterated"), ("dersimonian-laird", "chi2")):
        questions, theirs = [], []
        for _ in range(QUESTIONS):
            runs = int(CHANCE.integers(2, 9))
            stated = CHANCE.uniform(0.05, 0.4, runs)
            values = CHANCE.normal(2.0, math.hypot(0.2, CHANCE.uniform(0, 0.5)), runs)
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                of = combine_effects(values, stated**2, method_re=theirs_called, use_t=True, atol=1e-12)
            # Where runs agree better than they claim that library takes a negative spread, or gives up its iteration at none.
            if of.tau2 > 0:
                questions.append(["mean", ours_called, *numpy.column_stack([values, stated]).ravel()])
                theirs.append((of.mean_effect_re, of.sd_eff_w_re_hksj, of.mean_effect_fe, of.sd_eff_w_fe, of.tau2))
        apart = [max(abs(o - t) for o, t in zip(our, their, strict=True))
                 for our, their in zip(answers("answers", questions), theirs, strict=True)]
        compared(f"random-effects means, {ours_called}", "statsmodels", apart, 1e-9)

    questions, theirs = [], []
    for _ in range(QUESTIONS // 10):
        points = int(CHANCE.integers(4, 20))
        x = numpy.sort(CHANCE.uniform(0, 10, points))
        u_x, u_y = CHANCE.uniform(0.02, 0.3, points), CHANCE.uniform(0.02, 0.3, points)
        y = 1.0 - 0.7 * x + CHANCE.normal(0, u_y)
        x = x + CHANCE.normal(0, u_x)
        questions.append(["line", *numpy.column_stack([x, u_x, y, u_y]).ravel()])
        fitted = scipy.odr.ODR(scipy.odr.RealData(x, y, u_x, u_y), scipy.odr.unilinear, beta0=[-0.7, 1.0],
                               sstol=1e-15, partol=1e-15, maxit=1_000).run()
        theirs.append((fitted.beta[1], fitted.beta[0], fitted.sum_square))
    apart = [max(relative(our[0], their[0], 1.0), relative(our[1], their[1]), relative(our[4], their[2], 1.0))
             for our, their in zip(answers("answers", questions), theirs, strict=True)]
    compared("straight lines with both axes uncertain", "scipy", apart, 1e-5)

    asked = [(CHANCE.uniform(0.5, 0.999), CHANCE.uniform(1.0, 200.0)) for _ in range(QUESTIONS)]
    ours = answers("answers", [("factor", *question) for question in asked])
    compared("quantiles of Student's t", "scipy",
             [relative(o[0], scipy.stats.t.ppf(0.5 + 0.5 * p, dof)) for o, (p, dof) in zip(ours, asked, strict=True)], 1e-8)

    draws = [CHANCE.uniform(0, 1, int(CHANCE.integers(1, 12))) ** 3 for _ in range(QUESTIONS)]
    ours = answers("answers", [("holm", *draw) for draw in draws])
    compared("Holm's probabilities", "statsmodels",
             [float(numpy.max(numpy.abs(numpy.array(o) - multipletests(d, method="holm")[1])))
              for o, d in zip(ours, draws, strict=True)], 1e-12)


def noise(size: float, shape: int | tuple[int, ...]) -> numpy.ndarray:
    """Errors of one size and either sign: none stands out, so that a robust fit and plain least squares are the same."""
    return size * CHANCE.choice([-1.0, 1.0], shape)


def fits() -> None:
    """Circles and drift fits on noisy motions: against least squares that know nothing of either."""
    circles, drifts = [], []
    for _ in range(QUESTIONS // 10):
        wind, airspeed = CHANCE.normal(0, 4, 2), CHANCE.uniform(8, 15)
        heading = CHANCE.uniform(0, 2 * math.pi) + numpy.linspace(0, CHANCE.uniform(4, 12), 80)
        speed = airspeed + noise(0.3, 80)
        east, north = wind[0] + speed * numpy.sin(heading), wind[1] + speed * numpy.cos(heading)
        our = driftless.fit_circle(list(east), list(north))

        def off_circle(x: numpy.ndarray, east: numpy.ndarray = east, north: numpy.ndarray = north) -> numpy.ndarray:
            return numpy.hypot(east - x[0], north - x[1]) - x[2]

        their = scipy.optimize.least_squares(off_circle, [*wind, airspeed], xtol=1e-15, ftol=1e-15, gtol=1e-15).x
        off = numpy.abs(off_circle(their))
        # Ours is robust: it weighs what stands out less, so that it is least squares only where nothing does.
        if off.max() < 1.9 * numpy.median(off):
            circles.append(max(abs(our.wind_east_mps - their[0]), abs(our.wind_north_mps - their[1]),
                               abs(our.airspeed_mps - their[2])))

        times = numpy.arange(0.0, 120.0)
        rate, start = math.radians(CHANCE.uniform(4, 8) * CHANCE.choice([-1, 1])), CHANCE.uniform(0, 2 * math.pi)
        truth = (*wind, airspeed, rate, start, 0.0, 0.0)
        east, north = drifted(truth, times) + noise(0.5, (2, 120))
        fitted = driftless.fit_drift(list(times), list(east), list(north))

        def off_way(x: numpy.ndarray, times: numpy.ndarray = times, east: numpy.ndarray = east,
                    north: numpy.ndarray = north) -> numpy.ndarray:
            return (drifted(x, times) - (east, north)).ravel()

        of = scipy.optimize.least_squares(off_way, truth, x_scale=[1, 1, 1, 0.01, 0.1, 1, 1], xtol=1e-15, ftol=1e-15, gtol=1e-15).x
        drifts.append(max(abs(fitted.wind_east_mps - of[0]), abs(fitted.wind_north_mps - of[1]),
                          abs(fitted.airspeed_mps - of[2]), abs(fitted.turn_rate_deg_s - math.degrees(of[3]))))
    compared("circles of velocities, m/s", "scipy", circles, 1e-6)
    compared("drift fits, m/s and °/s", "scipy", drifts, 1e-4)


def drifted(x: Sequence[float], times: numpy.ndarray) -> numpy.ndarray:
    """The way of a steady turn in steady wind: wind, airspeed, rate, heading at first, place at first."""
    wind_east, wind_north, airspeed, rate, heading, east, north = x
    return numpy.array([
        east + wind_east * times - airspeed / rate * (numpy.cos(heading + rate * times) - math.cos(heading)),
        north + wind_north * times + airspeed / rate * (numpy.sin(heading + rate * times) - math.sin(heading)),
    ])


def main() -> None:
    print("| what | against | questions | largest difference | allowed |\n|---|---|---|---|---|")
    for compare in (geodesics, tracks, means, fits):
        compare()
    apart = [what for what, _, _, largest, allowed in rows if not largest <= allowed]
    for what in apart:
        print(f"apart: {what}")
    sys.exit(1 if apart else 0)


if __name__ == "__main__":
    main()
