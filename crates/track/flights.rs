//! Every flight of a log: ground, flights, walks and drives between.
//!
//! The log is cut where the aircraft stands on the ground, and what lies between two such places is a flight when it leaves the
//! ground by the rules of [`airborne`]. Standing is
//! * at least 20 s at walking speed or less, no higher than everything flown within two minutes about it, or
//! * at least a minute within 25 m and 10 m of height, wherever that is: a wing that hangs still in the wind does not hold a
//!   place so well.
//!
//! A pause of the logger counts as standing when the aircraft is where it was before. What leaves the ground and stops twice on
//! its way is driven.

use crate::TrackPoint;
use crate::airborne::{self, Moment, WALKING_MPS, moments};
use crate::path::distance_m;
use driftless_units::{items_between, median};
use std::ops::Range;

/// Shortest standing that cuts a log, seconds.
const STANDING_S: f64 = 20.0;
/// Standing this long needs no lower ground about it, seconds.
const LONG_STANDING_S: f64 = 60.0;
/// How far from the middle of it such a standing may reach, m.
const STANDING_PLACE_M: f64 = 25.0;
/// Heights of a standing may differ by this, m.
const STANDING_HEIGHT_SPREAD_M: f64 = 10.0;
/// A place is the lowest when nothing within this time is lower ...
const AROUND_S: f64 = 120.0;
/// ... by more than receivers err in height, m.
const LOWER_M: f64 = 8.0;
/// Over this time, most of it, whoever stands moves no faster than this: walking, and the noise of two places.
const SHORT_CHORD_S: f64 = 4.0;
const SLOW_MPS: f64 = 3.0;
const SLOW_SHARE: f64 = 0.8;
/// Shortest flight, seconds.
const SHORTEST_FLIGHT_S: f64 = 30.0;
/// A car stands: from the first half of this time to the second its mean place moves by so little. A wing that hangs still in
/// the wind never does for long.
const STOP_S: f64 = 8.0;
const STOP_M: f64 = 0.8;
const STOP_HEIGHT_M: f64 = 1.0;
/// Stops that make a drive.
const STOPS_OF_A_DRIVE: usize = 2;

/// One flight of a log.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Airborne {
    /// When the aircraft left the ground, seconds from the track's epoch; `None` when the log begins in the air.
    pub takeoff_s: Option<f64>,
    /// When it was on the ground again; `None` when the log ends in the air.
    pub landing_s: Option<f64>,
    /// Altitude of the take-off place, metres (else of the landing place, else `None`).
    pub takeoff_altitude_m: Option<f64>,
}

/// All flights in time order; none when the log stays on the ground. Altitudes of take-off are left to the caller.
pub(crate) fn find(points: &[TrackPoint]) -> Vec<Airborne> {
    let moments = moments(points);
    let stands = stands(&moments);
    let ends = |i: usize| stands.get(i).cloned();
    let mut flights = Vec::new();
    for cut in 0..=stands.len() {
        let (before, after) = (cut.checked_sub(1).and_then(ends), ends(cut));
        let first = before.as_ref().map_or(0, |stand| stand.start);
        let end = after.as_ref().map_or(moments.len(), |stand| stand.end);
        let part = moments.get(first..end).unwrap_or_default();
        // Before the first standing and behind the last there may be nothing at all.
        let moves = match (&before, &after) {
            (None, Some(stand)) => seconds(moments.get(..stand.start)) > STANDING_S,
            (Some(stand), None) => seconds(moments.get(stand.end..)) > STANDING_S,
            _ => true,
        };
        if !moves {
            continue;
        }
        let (takeoff_s, landing_s) = airborne::find_in(part);
        let seen = (before.is_none() || takeoff_s.is_some()) && (after.is_none() || landing_s.is_some());
        let flown = between(part, takeoff_s, landing_s);
        if seen && seconds(Some(flown)) >= SHORTEST_FLIGHT_S && stops(flown) < STOPS_OF_A_DRIVE {
            flights.push(Airborne { takeoff_s, landing_s, takeoff_altitude_m: None });
        }
    }
    flights
}

fn seconds(moments: Option<&[Moment<'_>]>) -> f64 {
    moments.and_then(|m| Some(m.last()?.t_s() - m.first()?.t_s())).unwrap_or(0.0)
}

fn between<'m, 'a>(moments: &'m [Moment<'a>], from_s: Option<f64>, to_s: Option<f64>) -> &'m [Moment<'a>] {
    items_between(moments, Moment::t_s, from_s.unwrap_or(f64::NEG_INFINITY), to_s.unwrap_or(f64::INFINITY))
}

/// Where the aircraft stands on the ground, in time order.
fn stands(moments: &[Moment<'_>]) -> Vec<Range<usize>> {
    runs(moments, |m| m.speed_mps <= WALKING_MPS).filter(|run| on_the_ground(moments, run)).collect()
}

/// Longest runs of moments of which something holds.
fn runs(moments: &[Moment<'_>], holds: impl Fn(&Moment<'_>) -> bool) -> impl Iterator<Item = Range<usize>> {
    let mut from = 0;
    std::iter::from_fn(move || {
        let rest = moments.get(from..)?;
        let start = from + rest.iter().position(&holds)?;
        let rest = moments.get(start..)?;
        let end = start + rest.iter().position(|m| !holds(m)).unwrap_or(rest.len());
        from = end;
        Some(start..end)
    })
}

fn on_the_ground(moments: &[Moment<'_>], run: &Range<usize>) -> bool {
    let Some(stand) = moments.get(run.clone()) else { return false };
    let stands_s = seconds(Some(stand));
    if stands_s < STANDING_S {
        return false;
    }
    let heights = || stand.iter().filter_map(Moment::altitude_m);
    let (low_m, high_m) = heights().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), h| (a.min(h), b.max(h)));
    if high_m - low_m > STANDING_HEIGHT_SPREAD_M || !slow_throughout(stand) {
        return false;
    }
    let place_m = median(heights());
    let (Some(first), Some(last)) = (stand.first(), stand.last()) else { return false };
    let around = between(moments, Some(first.t_s() - AROUND_S), Some(last.t_s() + AROUND_S));
    let lowest = around.iter().all(|m| m.altitude_m().zip(place_m).is_none_or(|(h, place)| h > place - LOWER_M));
    lowest || (stands_s >= LONG_STANDING_S && holds_its_place(stand))
}

/// Whether the aircraft is slow from moment to moment, too: a tight circle comes back to where it was.
fn slow_throughout(stand: &[Moment<'_>]) -> bool {
    let (mut slow, mut all) = (0_u32, 0_u32);
    for (i, now) in stand.iter().enumerate() {
        let rest = stand.get(i..).unwrap_or_default();
        let Some(then) = rest.get(rest.partition_point(|m| m.t_s() < now.t_s() + SHORT_CHORD_S)) else { break };
        let way_m = distance_m(now.point, then.point);
        all += 1;
        slow += u32::from(way_m <= SLOW_MPS * (then.t_s() - now.t_s()));
    }
    f64::from(slow) >= SLOW_SHARE * f64::from(all)
}

fn holds_its_place(stand: &[Moment<'_>]) -> bool {
    let middle = |axis: fn(&Moment<'_>) -> f64| median(stand.iter().map(axis)).unwrap_or_default();
    let (east_m, north_m) = (middle(|m| m.point.position.east_m), middle(|m| m.point.position.north_m));
    stand
        .iter()
        .all(|m| (m.point.position.east_m - east_m).hypot(m.point.position.north_m - north_m) <= STANDING_PLACE_M)
}

/// How often it stops.
fn stops(way: &[Moment<'_>]) -> usize {
    let (mut count, mut free_from_s) = (0, f64::NEG_INFINITY);
    for (i, now) in way.iter().enumerate() {
        if now.t_s() < free_from_s {
            continue;
        }
        let half = |from_s: f64| between(way.get(i..).unwrap_or_default(), Some(from_s), Some(from_s + 0.5 * STOP_S));
        if same_place(half(now.t_s()), half(now.t_s() + 0.5 * STOP_S)) {
            count += 1;
            free_from_s = now.t_s() + 2.0 * STOP_S;
        }
    }
    count
}

/// Whether two spells are spent at one place, going by at least two fixes of each; a log without altitudes says nothing of the
/// height.
fn same_place(first: &[Moment<'_>], second: &[Moment<'_>]) -> bool {
    let mean = |moments: &[Moment<'_>], of: fn(&Moment<'_>) -> Option<f64>| {
        Some(moments.iter().map(of).sum::<Option<f64>>()? / moments.len() as f64)
    };
    let moved = |of| mean(second, of).zip(mean(first, of)).map(|(then, now)| (then - now).abs());
    let level = moved(|m| m.point.position.east_m.into()).zip(moved(|m| m.point.position.north_m.into()));
    first.len() >= 2
        && second.len() >= 2
        && level.is_some_and(|(east_m, north_m)| east_m.hypot(north_m) < STOP_M)
        && moved(|m| m.altitude_m()).is_none_or(|height_m| height_m < STOP_HEIGHT_M)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::path::points_of;
    use driftless_units::{Ground, Position};

    /// A log of one fix a second: places and heights run on from leg to leg.
    #[derive(Default)]
    struct Log {
        t_s: Vec<f64>,
        positions: Vec<Position<Ground>>,
        altitudes_m: Vec<f64>,
    }

    impl Log {
        fn leg(mut self, seconds: u32, speed_mps: f64, climb_mps: f64) -> Self {
            for _ in 0..seconds {
                let (t, h) =
                    (self.t_s.last().map_or(0.0, |t| t + 1.0), self.altitudes_m.last().copied().unwrap_or(400.0));
                let east = self.positions.last().map_or(0.0, |p| p.east_m);
                self.positions.push(Position::new(east + speed_mps, 0.3 * (0.7 * t).sin()));
                self.altitudes_m.push(h + climb_mps + 0.2 * (1.3 * t).sin());
                self.t_s.push(t);
            }
            self
        }

        fn pause(mut self, seconds: f64) -> Self {
            let (t, p, h) = (self.t_s.last(), self.positions.last(), self.altitudes_m.last());
            let (Some(&t), Some(&p), Some(&h)) = (t, p, h) else { return self };
            self.t_s.push(t + seconds);
            self.positions.push(p);
            self.altitudes_m.push(h);
            self
        }

        fn flights(&self) -> Vec<Airborne> {
            find(&points_of(&self.t_s, &self.positions, Some(&self.altitudes_m)))
        }
    }

    /// Times of a flight, `NaN` where the log does not hold them.
    fn times(flight: &Airborne) -> [f64; 2] {
        [flight.takeoff_s.unwrap_or(f64::NAN), flight.landing_s.unwrap_or(f64::NAN)]
    }

    fn near(flight: &Airborne, takeoff_s: f64, landing_s: f64) {
        let [up, down] = times(flight);
        assert!((up - takeoff_s).abs() <= 12.0 && (down - landing_s).abs() <= 12.0, "{flight:?}");
    }

    fn flight(log: Log) -> Log {
        log.leg(150, 11.0, 2.0).leg(150, 11.0, -2.0)
    }

    #[test]
    fn derived_two_flights_with_a_walk_between_and_a_drive_home_are_two() {
        let log = flight(flight(Log::default().leg(60, 0.0, 0.0)).leg(60, 1.2, 0.0)).leg(90, 0.0, 0.0);
        let home = log.leg(60, 14.0, 0.3).leg(10, 0.0, 0.0).leg(80, 20.0, 0.4).leg(12, 0.0, 0.0).leg(60, 14.0, 0.2);
        let flights = home.flights();
        assert_eq!(flights.len(), 2, "{flights:?}");
        near(&flights[0], 60.0, 360.0);
        near(&flights[1], 420.0, 720.0);
    }

    #[test]
    fn a_pause_on_the_ground_is_standing() {
        let flights = flight(flight(Log::default().leg(60, 0.0, 0.0)).leg(8, 0.0, 0.0).pause(300.0).leg(30, 0.0, 0.0))
            .leg(60, 0.0, 0.0)
            .flights();
        assert_eq!(flights.len(), 2, "{flights:?}");
        near(&flights[1], 698.0, 998.0);
    }

    #[test]
    fn a_log_that_begins_and_ends_in_the_air_is_one_flight_without_ends() {
        let flights = flight(Log::default()).flights();
        assert_eq!(flights, [Airborne::default()]);
    }

    #[test]
    fn a_log_that_stays_on_the_ground_holds_none() {
        assert_eq!(Log::default().leg(600, 0.0, 0.0).flights(), []);
        assert_eq!(Log::default().leg(60, 0.0, 0.0).leg(300, 1.4, 0.0).leg(60, 0.0, 0.0).flights(), []);
    }

    #[test]
    fn hanging_still_in_the_wind_high_above_the_ground_does_not_cut_a_flight() {
        let up = Log::default().leg(60, 0.0, 0.0).leg(150, 6.0, 2.0).leg(45, 0.4, -0.1).leg(45, 1.5, -0.2);
        let flights = up.leg(150, 6.0, -2.0).leg(60, 0.0, 0.0).flights();
        assert_eq!(flights.len(), 1, "{flights:?}");
    }

    /// A circle of 12 s at 11 m/s: two of its places 10 s apart are as near as those of a walk.
    #[test]
    fn circling_tightly_at_one_height_is_no_standing() {
        let t_s: Vec<f64> = (0..300).map(f64::from).collect();
        let angle = |t: f64| std::f64::consts::TAU * t / 12.0;
        let positions: Vec<_> =
            t_s.iter().map(|t| Position::new(21.0 * angle(*t).sin(), 21.0 * angle(*t).cos())).collect();
        assert_eq!(find(&points_of(&t_s, &positions, Some(&[500.0; 300]))), [Airborne::default()]);
    }

    #[test]
    fn a_landing_out_without_standing_at_the_end_is_a_flight_still() {
        let flights = flight(flight(Log::default().leg(60, 0.0, 0.0)).leg(40, 0.0, 0.0)).flights();
        assert_eq!(flights.len(), 2, "{flights:?}");
        assert_eq!(flights[1].landing_s, None);
    }
}
