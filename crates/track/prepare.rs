//! From a log as read to a clean track: the steps in the order they are taken.

use crate::path::{self, fix_of};
use crate::trusted::trusted;
use crate::velocity::Recorded;
use crate::{
    Fix, FlightLog, Gap, LocalFrame, Problem, Problems, Severity, Track, TrackPoint, VelocitySource, altitude, flights,
    order, rounding, spikes, stale, velocity,
};
use driftless_units::atmosphere::true_airspeed_mps;
use driftless_units::{Ground, Velocity, items_between, median};

/// Limits of [`prepare`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrackConfig {
    /// Shortest time without data that counts as a gap, s.
    pub gap_min_s: f64,
    /// The same in median intervals; the larger of both holds.
    pub gap_intervals: f64,
}

impl Default for TrackConfig {
    fn default() -> Self {
        Self { gap_min_s: 5.0, gap_intervals: 3.0 }
    }
}

impl TrackConfig {
    /// Shortest time without data that counts as a gap in a log of this median interval, s.
    fn gap_limit_s(&self, median_interval_s: f64) -> f64 {
        self.gap_min_s.max(self.gap_intervals * median_interval_s)
    }
}

/// Why a log gives no track.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TrackError {
    /// Not enough fixes are left.
    #[error("{}", few_fixes(*usable, *read, *left_out))]
    TooFewFixes {
        /// Fixes that passed the checks.
        usable: usize,
        /// Fixes in the log.
        read: usize,
        /// Records and values that the reader had to leave out before.
        left_out: usize,
    },
    /// Every fix has the same position.
    #[error("all {fixes} fixes have the same position: the logger had no satellite fix, or only its clock was running")]
    AllEqual {
        /// Fixes compared.
        fixes: usize,
    },
    /// The positions stay within the error of a receiver that lies still.
    #[error("nothing moves: all {fixes} fixes lie within {extent_m:.0} m")]
    NoMotion {
        /// Fixes compared.
        fixes: usize,
        /// Largest distance from the first of them, m.
        extent_m: f64,
    },
}

impl TrackError {
    /// The same, with what the reader had to leave out before.
    fn after_reading(self, problems: &[Problem]) -> Self {
        let lost = problems.iter().filter(|p| p.severity != Severity::Note && p.byte.is_some());
        match self {
            Self::TooFewFixes { usable, read, .. } => {
                Self::TooFewFixes { usable, read, left_out: lost.map(|p| p.count as usize).sum() }
            }
            other => other,
        }
    }
}

/// A log that gives no track, with everything that was found on the way to that.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{reason}")]
pub struct NoTrack {
    /// Why.
    pub reason: TrackError,
    /// What was dropped or odd: often it says what to mend.
    pub problems: Vec<Problem>,
}

/// What is wrong with so few fixes, and what to do.
fn few_fixes(usable: usize, read: usize, left_out: usize) -> String {
    let lost = match left_out {
        0 => String::new(),
        1 => " (1 record or value could not be read)".to_owned(),
        more => format!(" ({more} records or values could not be read)"),
    };
    let advice = if usable < read {
        "the others repeat a time, have no full satellite fix or lie where nothing could fly: export the recording \
         again, with the logger's own times"
    } else if left_out > 0 {
        "look at what could not be read, and export the recording again"
    } else {
        "export the whole recording"
    };
    format!("only {usable} of {read} fixes{lost} can be used, and a track needs at least {MIN_FIXES}; {advice}")
}

/// Fewest fixes that make a track.
const MIN_FIXES: usize = 5;
/// A receiver lying still wanders by about this much, m.
const STILL_M: f64 = 30.0;
/// Rounding above this is worth a word: at 1 Hz it puts as much as a good receiver's own error on the velocities, m.
const COARSE_ROUNDING_M: f64 = 0.3;

/// Cleans a log: time order, doubtful fixes out, local frame, gaps, altitude, velocities, take-off and landing.
///
/// Whatever is left out is counted in [`Track::problems`] with the place of the first. Cost is linear in the number
/// of fixes (n log n when times run backwards).
///
/// # Errors
/// [`TrackError`] when too few fixes are left or nothing moves.
pub fn prepare(log: &FlightLog, config: &TrackConfig) -> Result<Track, TrackError> {
    prepare_or_tell(log, config).map_err(|none| none.reason)
}

/// As [`prepare`], but a log without a track keeps its problems.
///
/// # Errors
/// [`NoTrack`] when too few fixes are left or nothing moves.
pub fn prepare_or_tell(log: &FlightLog, config: &TrackConfig) -> Result<Track, NoTrack> {
    let mut problems = Problems::default();
    match cleaned(log, config, &mut problems) {
        Ok(track) => Ok(Track { problems: problems.into_vec(), ..track }),
        Err(reason) => Err(NoTrack { reason: reason.after_reading(&log.problems), problems: problems.into_vec() }),
    }
}

fn cleaned(log: &FlightLog, config: &TrackConfig, problems: &mut Problems) -> Result<Track, TrackError> {
    let fixes = &log.fixes;
    let used = order::order(fixes, trusted(fixes, problems), problems);
    let few = |usable| TrackError::TooFewFixes { usable, read: fixes.len(), left_out: 0 };
    if used.len() < MIN_FIXES {
        return Err(few(used.len()));
    }
    let rough = path::frame_for_cleaning(fixes, &used).ok_or(few(0))?;
    let rounding_m = rounding::rounding_m(fixes, &used);
    let mut points = path::unplaced(fixes, &used);
    drop(used);
    path::place(&mut points, fixes, &rough);
    drop_stale(&mut points, fixes, rounding_m, problems);
    let jumps = drop_spikes(&mut points, fixes, problems);
    // The origin is a fix that survived, so that no wrong place carries away the frame of the flight.
    let start = origin(&points, &jumps).filter(|_| points.len() >= MIN_FIXES);
    let frame = path::frame_at(start.and_then(|p| fix_of(fixes, p)).ok_or(few(points.len()))?);
    path::place(&mut points, fixes, &frame);
    moves(&points)?;

    let intervals = points.iter().zip(points.iter().skip(1)).map(|(a, b)| b.t_s - a.t_s);
    let median_interval_s = median(intervals).unwrap_or(1.0);
    let gaps = find_gaps(&points, config, median_interval_s, &jumps);
    set_altitudes(&mut points, fixes, problems);
    set_velocities(&mut points, fixes, &frame, &gaps, median_interval_s, problems);
    set_airspeeds(&mut points, fixes);
    note_limits(rounding_m, &gaps, config.gap_limit_s(median_interval_s), problems);

    let epoch = points.first().and_then(|p| fix_of(fixes, p)).map(|f| f.time).unwrap_or_default();
    let mut flights = flights::find(&points);
    for flight in &mut flights {
        let place_s = flight.takeoff_s.or(flight.landing_s);
        flight.takeoff_altitude_m = place_s.and_then(|at_s| height_around(&points, at_s));
    }
    let mut marks = log.marks.clone();
    marks.sort_by_key(|m| m.time);
    Ok(Track {
        epoch,
        frame,
        points,
        gaps,
        marks,
        takeoff_s: flights.first().and_then(|flight| flight.takeoff_s),
        landing_s: flights.last().and_then(|flight| flight.landing_s),
        takeoff_altitude_m: flights.first().and_then(|flight| flight.takeoff_altitude_m),
        flights,
        median_interval_s,
        rounding_m,
        problems: Vec::new(),
    })
}

/// Where the frame begins: the first point of the longest piece between jumps, which in a clean log is the first of all.
fn origin<'a>(points: &'a [TrackPoint], jumps: &[u32]) -> Option<&'a TrackPoint> {
    let pieces = points.chunk_by(|_, next| !jumps.contains(&next.fix_index));
    // Of equal pieces the first.
    pieces.rev().max_by_key(|piece| piece.len())?.first()
}

fn moves(points: &[TrackPoint]) -> Result<(), TrackError> {
    let fixes = points.len();
    let places = || points.iter().map(|p| p.position);
    let extent_m = places().map(|p| p.east_m.hypot(p.north_m)).fold(0.0, f64::max);
    // Equal coordinates give equal metres: the same arithmetic on the same numbers.
    if places().zip(places().skip(1)).all(|(a, b)| a == b) {
        return Err(TrackError::AllEqual { fixes });
    }
    if extent_m < STILL_M {
        return Err(TrackError::NoMotion { fixes, extent_m });
    }
    Ok(())
}

fn drop_stale(points: &mut Vec<TrackPoint>, fixes: &[Fix], rounding_m: f64, problems: &mut Problems) {
    let found = stale::find(points, rounding_m);
    for fix in found.iter().filter_map(|&k| points.get(k)).filter_map(|p| fix_of(fixes, p)) {
        problems.add(
            "stale-position",
            Severity::Warning,
            Some(fix.source),
            || format!("the position at {} repeats the one before although the aircraft moves", clock(fix)),
            "The logger lost its satellites for a moment, or writes faster than its receiver works.",
        );
    }
    path::remove(points, &found);
}

/// Drops spikes; returns the first fix after each jump that stays.
fn drop_spikes(points: &mut Vec<TrackPoint>, fixes: &[Fix], problems: &mut Problems) -> Vec<u32> {
    let found = spikes::find(points);
    let fix_at = |k: usize| points.get(k).and_then(|p| fix_of(fixes, p));
    for fix in found.dropped.iter().filter_map(|&k| fix_at(k)) {
        problems.add(
            "spike",
            Severity::Warning,
            Some(fix.source),
            || {
                format!(
                    "the position at {} lies where no aircraft could have got to and back; it is left out",
                    clock(fix)
                )
            },
            "",
        );
    }
    for fix in found.jumps.iter().filter_map(|&k| fix_at(k)) {
        problems.add(
            "position-jump",
            Severity::Warning,
            Some(fix.source),
            || format!("the position jumps at {} and stays there; treated as a gap", clock(fix)),
            "",
        );
    }
    let jumps = found.jumps.iter().filter_map(|&k| points.get(k)).map(|p| p.fix_index).collect();
    path::remove(points, &found.dropped);
    jumps
}

fn clock(fix: &Fix) -> String {
    fix.time.format("%H:%M:%S").to_string()
}

fn find_gaps(points: &[TrackPoint], config: &TrackConfig, median_interval_s: f64, jumps: &[u32]) -> Vec<Gap> {
    let limit_s = config.gap_limit_s(median_interval_s);
    points
        .iter()
        .zip(points.iter().skip(1))
        .filter(|(a, b)| b.t_s - a.t_s > limit_s || jumps.contains(&b.fix_index))
        .map(|(a, b)| Gap { start_s: a.t_s, end_s: b.t_s })
        .collect()
}

/// Altitudes, where the log has any that can be used.
fn set_altitudes(points: &mut [TrackPoint], fixes: &[Fix], problems: &mut Problems) {
    let altitudes_m = altitude::choose(fixes, points, problems).unwrap_or_default();
    for (point, altitude_m) in points.iter_mut().zip(altitudes_m) {
        point.altitude_m = altitude_m.into();
    }
}

/// Recorded velocities where the log has believable ones, else those of the positions.
fn set_velocities(
    points: &mut [TrackPoint],
    fixes: &[Fix],
    frame: &LocalFrame,
    gaps: &[Gap],
    interval_s: f64,
    problems: &mut Problems,
) {
    let mut first = 0;
    let after_gaps: Vec<usize> = gaps.iter().map(|g| points.partition_point(|p| p.t_s < g.end_s)).collect();
    for end in after_gaps.into_iter().chain([points.len()]) {
        velocity::set_from_positions(points.get_mut(first..end).unwrap_or_default(), interval_s);
        first = end;
    }
    let of_fix = |fix: &Fix| velocity::recorded(fix, frame.convergence(fix.lon_deg));
    let recorded: Vec<Option<Velocity<Ground>>> = points.iter().map(|p| fix_of(fixes, p).and_then(of_fix)).collect();
    let verdict = velocity::judge(&recorded, points);
    note_velocity(verdict, problems);
    let Recorded::Believed { limit_mps } = verdict else { return };
    for (point, recorded) in points.iter_mut().zip(recorded) {
        let off_mps =
            |v: &Velocity<Ground>| (v.east_mps - point.velocity.east_mps).hypot(v.north_mps - point.velocity.north_mps);
        if let Some(velocity) = recorded.filter(|v| off_mps(v) <= limit_mps) {
            (point.velocity, point.velocity_source) = (velocity, VelocitySource::Recorded);
        }
    }
}

fn note_velocity(verdict: Recorded, problems: &mut Problems) {
    let mut add = |code, severity, message: String, help| problems.add(code, severity, None, || message, help);
    match verdict {
        Recorded::Believed { .. } => {}
        Recorded::Missing => add(
            "no-recorded-speed",
            Severity::Note,
            "the log has no speed and course; velocities come from the positions".into(),
            "A logger that records the receiver's own speed and course gives narrower intervals.",
        ),
        Recorded::Stuck => add(
            "stuck-speed",
            Severity::Warning,
            "the recorded speed never changes although the aircraft does; velocities come from the positions".into(),
            "",
        ),
        Recorded::WrongScale(ratio) => add(
            "speed-unit",
            Severity::Warning,
            format!(
                "the recorded speed is {ratio:.2} times what the positions say{}; velocities come from the positions",
                likely_unit(ratio)
            ),
            "Check the unit of the speed column.",
        ),
        Recorded::Disagree(typical) => add(
            "speed-disagrees",
            Severity::Warning,
            format!(
                "recorded speed and course differ from the positions by {typical:.1} m/s; velocities come from the positions"
            ),
            "The course may be magnetic, or recorded late.",
        ),
    }
}

fn likely_unit(ratio: f64) -> &'static str {
    let near = |k: f64| (ratio / k - 1.0).abs() < 0.05;
    if near(3.6) {
        " (km/h taken for m/s?)"
    } else if near(3600.0 / 1852.0) {
        " (knots taken for m/s?)"
    } else if near(1.0 / 3.6) {
        " (m/s taken for km/h?)"
    } else if near(1852.0 / 3600.0) {
        " (m/s taken for knots?)"
    } else {
        ""
    }
}

fn note_limits(rounding_m: f64, gaps: &[Gap], limit_s: f64, problems: &mut Problems) {
    if rounding_m > COARSE_ROUNDING_M {
        problems.add(
            "position-rounding",
            Severity::Note,
            None,
            || format!("the file rounds positions to steps that put {rounding_m:.2} m of error on each axis"),
            "Ask the logger for more digits (IGC: the LAD and LOD extensions), or use its GPX export.",
        );
    }
    // A jump is a gap without missing time, and has been reported as a jump.
    for gap in gaps.iter().filter(|g| g.end_s - g.start_s > limit_s) {
        problems.add(
            "gap",
            Severity::Note,
            None,
            || format!("no data for {:.0} s from second {:.0} on", gap.end_s - gap.start_s, gap.start_s),
            "Nothing is drawn or measured across a gap.",
        );
    }
}

/// Airspeeds, unless their column holds one value throughout (0 where the sensor is missing), which says nothing.
fn set_airspeeds(points: &mut [TrackPoint], fixes: &[Fix]) {
    let recorded = |fix: &Fix| fix.true_airspeed_mps.or(fix.indicated_airspeed_mps).get();
    let airspeeds = || points.iter().filter_map(|p| fix_of(fixes, p)).filter_map(recorded);
    let first = airspeeds().next();
    if airspeeds().all(|v| Some(v) == first) {
        return;
    }
    for point in points {
        point.true_airspeed_mps = fix_of(fixes, point).and_then(airspeed_mps).into();
    }
}

/// True airspeed as recorded, or from the indicated one in the standard atmosphere.
fn airspeed_mps(fix: &Fix) -> Option<f64> {
    let from_indicated = || {
        let altitude_m = fix.pressure_altitude_m.or(fix.gnss_altitude_m).get()?;
        Some(true_airspeed_mps(fix.indicated_airspeed_mps.get()?, altitude_m))
    };
    fix.true_airspeed_mps.get().or_else(from_indicated)
}

/// Median altitude within 10 s of a moment, m.
fn height_around(points: &[TrackPoint], at_s: f64) -> Option<f64> {
    median(items_between(points, |p| p.t_s, at_s - 10.0, at_s + 10.0).iter().filter_map(|p| p.altitude_m.get()))
}
