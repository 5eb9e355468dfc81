//! Ground velocities: from positions, with the chord-shrink correction; and the recorded ones, where they hold up.
//!
//! **From positions.** A quadratic through the fixes within ± 1 s (or the neighbours, when the log is slower),
//! never across a gap; its slope at the fix is the velocity. On even spacing this is symmetric in time, so a course
//! is not late. In a turn it is too short: the slope misses `r/6` times the second derivative of the velocity, with
//! `r = Σh⁴/Σh²` over the fixes used (r = h² for two neighbours, where V sinc(ωh) is measured instead of V). That
//! derivative comes from a wider quadratic through the velocities themselves and is taken off again. It acts on
//! the part that turns only, so the wind stays where it is.

use crate::{Fix, TrackPoint};
use driftless_units::{Angle, Ground, Velocity, median, quantile};

/// Half-width of the fit to positions, s.
const HALF_WIDTH_S: f64 = 1.0;
/// Half-width of the fit to velocities that yields their second derivative, s, and in intervals.
const CURVE_HALF_WIDTH_S: f64 = 3.0;
const CURVE_INTERVALS: f64 = 2.0;

/// Gives the points of one span without gaps the velocities of their positions. In a span of one point it is zero.
pub(crate) fn set_from_positions(points: &mut [TrackPoint], interval_s: f64) {
    let half_s = HALF_WIDTH_S.max(interval_s) * 1.05;
    let mut sliding = Sliding::default();
    let plain: Vec<Plain> = points
        .iter()
        .enumerate()
        .map(|(i, here)| {
            let window = sliding.around(points, i, half_s, 2);
            let fit = Quadratic::new(&window, points, here.t_s);
            let slope = |value: fn(&TrackPoint) -> f64| {
                fit.slope(&window, points, here.t_s, window.of(points).map(|p| value(p) - value(here)))
            };
            let slope_mps = [slope(|p| p.position.east_m), slope(|p| p.position.north_m)];
            Plain { slope_mps, reach_s2: fit.reach_s2 }
        })
        .collect();

    let curve_half_s = CURVE_HALF_WIDTH_S.max(CURVE_INTERVALS * interval_s) * 1.05;
    let mut sliding = Sliding::default();
    for (i, here) in plain.iter().enumerate() {
        let Some(now_s) = points.get(i).map(|p| p.t_s) else { continue };
        let window = sliding.around(points, i, curve_half_s, 4).thinned(i);
        let fit = Quadratic::new(&window, points, now_s);
        let corrected = |value: fn(&Plain) -> f64| {
            let off = window.of(&plain).map(|p| value(p) - value(here));
            value(here) - here.reach_s2 / 6.0 * fit.curvature(&window, points, now_s, off)
        };
        let velocity = Velocity::new(corrected(Plain::east_mps), corrected(Plain::north_mps));
        if let Some(point) = points.get_mut(i) {
            point.velocity = velocity;
        }
    }
}

/// A velocity before the chord-shrink correction.
struct Plain {
    slope_mps: [f64; 2],
    reach_s2: f64,
}

impl Plain {
    fn east_mps(&self) -> f64 {
        self.slope_mps[0]
    }
    fn north_mps(&self) -> f64 {
        self.slope_mps[1]
    }
}

/// Fixes `first..=last` around one fix, of which every `stride`-th counts.
struct Window {
    first: usize,
    last: usize,
    stride: usize,
}

impl Window {
    /// What belongs to the fixes of the window.
    fn of<'a, T>(&self, items: &'a [T]) -> impl Iterator<Item = &'a T> {
        items.get(self.first..=self.last).unwrap_or_default().iter().step_by(self.stride)
    }

    /// Few enough fixes for a smooth curve, fix `i` among them: a fast log gains nothing from more.
    fn thinned(self, i: usize) -> Self {
        let stride = ((self.last - self.first) / 12).max(1);
        Self { first: i - (i - self.first) / stride * stride, stride, ..self }
    }
}

/// The fixes within a given time; moves forward only, so a whole span costs linear time.
#[derive(Default)]
struct Sliding {
    first: usize,
    last: usize,
}

impl Sliding {
    /// All fixes within `half_s` of fix `i`, widened to at least `extra` fixes besides `i` where there are any.
    fn around(&mut self, points: &[TrackPoint], i: usize, half_s: f64, extra: usize) -> Window {
        // How far a fix lies from fix `i`; where there is none, infinitely far.
        let apart_s = |k: usize| points.get(k).zip(points.get(i)).map_or(f64::INFINITY, |(a, b)| (a.t_s - b.t_s).abs());
        while self.first < i && apart_s(self.first) > half_s {
            self.first += 1;
        }
        self.last = self.last.max(i);
        while apart_s(self.last + 1) <= half_s {
            self.last += 1;
        }
        // A slower part of an uneven log: at least the neighbours. Near the ends one side is missing, and a
        // one-sided quadratic takes its points from the other.
        let mut first = self.first.min(i.saturating_sub(1));
        let mut last = self.last.max((i + 1).min(points.len().saturating_sub(1)));
        while last - first < extra && (first > 0 || last + 1 < points.len()) {
            let before_s = first.checked_sub(1).map_or(f64::INFINITY, apart_s);
            if last + 1 < points.len() && apart_s(last + 1) <= before_s {
                last += 1;
            } else {
                first -= 1;
            }
        }
        Window { first, last, stride: 1 }
    }
}

/// Least-squares quadratic `a + b h + c h²` in `h = t - t_i` over a window, as weights on the values.
struct Quadratic {
    /// Symmetric inverse of the normal matrix: rows for b and c.
    b_row: [f64; 3],
    c_row: [f64; 3],
    /// Σh⁴/Σh², s².
    reach_s2: f64,
}

impl Quadratic {
    fn new(window: &Window, points: &[TrackPoint], now_s: f64) -> Self {
        let mut s = [0.0; 5];
        for point in window.of(points) {
            let h = point.t_s - now_s;
            let mut power = 1.0;
            for sum in &mut s {
                *sum += power;
                power *= h;
            }
        }
        let reach_s2 = if s[2] > 0.0 { s[4] / s[2] } else { 0.0 };
        if window.of(points).count() < 3 {
            // Two fixes: a straight line; one: nothing moves.
            let det = s[0] * s[2] - s[1] * s[1];
            let b_row = if det > 0.0 { [-s[1] / det, s[0] / det, 0.0] } else { [0.0; 3] };
            return Self { b_row, c_row: [0.0; 3], reach_s2: 0.0 };
        }
        // Cofactors of the symmetric normal matrix [[s0 s1 s2] [s1 s2 s3] [s2 s3 s4]].
        let (c01, c02) = (s[2] * s[3] - s[1] * s[4], s[1] * s[3] - s[2] * s[2]);
        let (c11, c12) = (s[0] * s[4] - s[2] * s[2], s[1] * s[2] - s[0] * s[3]);
        let c22 = s[0] * s[2] - s[1] * s[1];
        let det = s[0] * (s[2] * s[4] - s[3] * s[3]) + s[1] * c01 + s[2] * c02;
        if det <= 0.0 {
            return Self { b_row: [0.0; 3], c_row: [0.0; 3], reach_s2: 0.0 };
        }
        Self { b_row: [c01 / det, c11 / det, c12 / det], c_row: [c02 / det, c12 / det, c22 / det], reach_s2 }
    }

    /// Values are counted from that of the fix itself, in the order of the window.
    fn apply(row: [f64; 3], w: &Window, points: &[TrackPoint], now_s: f64, values: impl Iterator<Item = f64>) -> f64 {
        w.of(points)
            .zip(values)
            .map(|(point, value)| {
                let h = point.t_s - now_s;
                (row[0] + h * (row[1] + h * row[2])) * value
            })
            .sum()
    }

    fn slope(&self, w: &Window, points: &[TrackPoint], now_s: f64, values: impl Iterator<Item = f64>) -> f64 {
        Self::apply(self.b_row, w, points, now_s, values)
    }

    /// Second derivative.
    fn curvature(&self, w: &Window, points: &[TrackPoint], now_s: f64, values: impl Iterator<Item = f64>) -> f64 {
        2.0 * Self::apply(self.c_row, w, points, now_s, values)
    }
}

/// What became of the recorded speed and course columns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Recorded {
    /// They agree with the positions; a fix that differs by more than this many m/s is not believed.
    Believed { limit_mps: f64 },
    /// Fewer than half of the fixes have both.
    Missing,
    /// One value throughout while the positions move.
    Stuck,
    /// Speeds are this many times those of the positions.
    WrongScale(f64),
    /// Typical vector difference from the positions, m/s.
    Disagree(f64),
}

/// The recorded velocity of a fix in the frame's axes.
pub(crate) fn recorded(fix: &Fix, convergence: Angle) -> Option<Velocity<Ground>> {
    let (speed, course) = (fix.ground_speed_mps.get()?, fix.course_deg.get()?);
    (speed.is_finite() && course.is_finite() && speed >= 0.0)
        .then(|| Velocity::from_speed_course(speed, Angle::from_deg(course) + convergence))
}

/// Judges the recorded velocities by those of the positions, which the points have so far, over fixes that move.
pub(crate) fn judge(recorded: &[Option<Velocity<Ground>>], points: &[TrackPoint]) -> Recorded {
    /// Slower than this, or than half of what the log reaches, course and ratio mean little.
    const MOVING_MPS: f64 = 3.0;
    let have = recorded.iter().flatten().count();
    if 2 * have < recorded.len() {
        return Recorded::Missing;
    }
    let speeds = points.iter().map(|p| p.velocity.speed_mps());
    let moving_mps = MOVING_MPS.min(0.5 * quantile(speeds, 0.9).unwrap_or(0.0));
    // Gone through anew for each figure: a list of both velocities would take a third of what the points do.
    let moving = || {
        let both = recorded.iter().zip(points.iter().map(|p| p.velocity));
        both.filter_map(|(r, p)| r.filter(|_| p.speed_mps() > moving_mps).map(|r| (r, p)))
    };
    let Some(first) = moving().next() else {
        return Recorded::Missing;
    };
    if moving().nth(2).is_some() && moving().all(|(r, _)| (r.speed_mps() - first.0.speed_mps()).abs() < 1e-9) {
        let spread = moving().map(|(_, p)| (p.speed_mps() - first.1.speed_mps()).abs()).fold(0.0, f64::max);
        if spread > 1.0 || first.0.speed_mps() == 0.0 {
            return Recorded::Stuck;
        }
    }
    let ratios = moving().map(|(r, p)| r.speed_mps() / p.speed_mps());
    let ratio = median(ratios).unwrap_or(1.0);
    if !(0.8..=1.25).contains(&ratio) {
        return Recorded::WrongScale(ratio);
    }
    let differences = moving().map(|(r, p)| (r.east_mps - p.east_mps).hypot(r.north_mps - p.north_mps));
    let speeds = moving().map(|(_, p)| p.speed_mps());
    let typical = median(differences).unwrap_or(0.0);
    if typical > (0.2 * median(speeds).unwrap_or(0.0)).max(2.0) {
        return Recorded::Disagree(typical);
    }
    Recorded::Believed { limit_mps: (8.0 * typical).max(5.0) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::path::points_at;
    use driftless_units::{Position, Wind};

    fn from_positions(t_s: &[f64], positions: &[Position<Ground>], interval_s: f64) -> Vec<TrackPoint> {
        let mut points = points_at(t_s, positions);
        set_from_positions(&mut points, interval_s);
        points
    }

    /// A level turn in wind: positions from the circle-drift model.
    fn turn(n: usize, dt: f64, rate_deg_s: f64, v: f64, wind: Wind) -> (Vec<f64>, Vec<Position<Ground>>) {
        let (rate, t) = (rate_deg_s.to_radians(), (0..n).map(|i| i as f64 * dt).collect::<Vec<_>>());
        let p = t
            .iter()
            .map(|t| {
                let heading = 0.5 + rate * t;
                let r = v / rate;
                Position::new(
                    wind.east_mps * t + r * (0.5_f64.cos() - heading.cos()),
                    wind.north_mps * t + r * (heading.sin() - 0.5_f64.sin()),
                )
            })
            .collect();
        (t, p)
    }

    /// A chord of Δt in a steady turn is short by sinc(ωΔt/2) (reference values of the project, derived): without
    /// the correction a centred 2 s chord at 6 °/s reads 0.99817 V (the 12 °/s, 1 s row), with it 0.99999 V.
    #[test]
    fn derived_chord_shrink_is_corrected_and_the_wind_untouched() {
        let wind = Wind::new(3.0, -4.0);
        for (dt, rate_deg_s, shrink) in [(1.0, 6.0, 0.9981733), (1.0, 3.0, 0.9995431), (2.5, 6.0, 0.9886159)] {
            let (t, p) = turn(100, dt, rate_deg_s, 10.0, wind);
            let fixed = from_positions(&t, &p, dt);
            for i in 10..90 {
                let heading = 0.5 + rate_deg_s.to_radians() * t[i];
                let chord = Velocity::<Ground>::new(
                    (p[i + 1].east_m - p[i - 1].east_m) / (2.0 * dt),
                    (p[i + 1].north_m - p[i - 1].north_m) / (2.0 * dt),
                );
                assert!((wind.air_velocity(chord).speed_mps() / 10.0 - shrink).abs() < 1e-7);
                let air = wind.air_velocity(fixed[i].velocity);
                // The second derivative is itself smoothed; a tenth of the shrink is what may remain.
                assert!((air.speed_mps() / 10.0 - 1.0).abs() < 0.12 * (1.0 - shrink), "{dt} {rate_deg_s}");
                assert!(air.direction().signed_from(Angle::from_rad(heading)).rad().abs() < 1e-9);
            }
        }
    }

    #[test]
    fn fast_logs_are_smoothed_and_straight_lines_are_exact() {
        let t: Vec<f64> = (0..300).map(|i| 0.1 * f64::from(i)).collect();
        let p: Vec<_> = t.iter().map(|t| Position::new(7.0 * t, -2.0 * t)).collect();
        for v in from_positions(&t, &p, 0.1).iter().map(|p| p.velocity) {
            assert!((v.east_mps - 7.0).abs() < 1e-9 && (v.north_mps + 2.0).abs() < 1e-9);
        }
    }

    #[test]
    fn one_and_two_fixes_do_not_divide_by_zero() {
        let velocities = |t_s: &[f64], positions: &[Position<Ground>], interval_s: f64| -> Vec<_> {
            from_positions(t_s, positions, interval_s).iter().map(|p| p.velocity).collect()
        };
        assert_eq!(velocities(&[0.0], &[Position::new(1.0, 1.0)], 1.0), [Velocity::new(0.0, 0.0)]);
        let v = velocities(&[0.0, 2.0], &[Position::new(0.0, 0.0), Position::new(4.0, 0.0)], 2.0);
        assert_eq!(v, [Velocity::new(2.0, 0.0), Velocity::new(2.0, 0.0)]);
    }

    #[test]
    fn stuck_and_wrongly_scaled_speeds_are_not_believed() {
        let wind = Wind::new(3.0, -4.0);
        let (t, p) = turn(200, 1.0, 6.0, 10.0, wind);
        let positional = from_positions(&t, &p, 1.0);
        let with = |f: &dyn Fn(Velocity<Ground>) -> Velocity<Ground>| {
            let recorded: Vec<_> = positional.iter().map(|p| Some(f(p.velocity))).collect();
            judge(&recorded, &positional)
        };
        assert_eq!(with(&|v| v), Recorded::Believed { limit_mps: 5.0 });
        assert_eq!(with(&|v| Velocity::from_speed_course(0.0, v.direction())), Recorded::Stuck);
        assert_eq!(with(&|v| Velocity::from_speed_course(11.0, v.direction())), Recorded::Stuck);
        assert!(matches!(with(&|v| Velocity::new(3.6 * v.east_mps, 3.6 * v.north_mps)),
            Recorded::WrongScale(k) if (k - 3.6).abs() < 1e-6));
        assert!(matches!(with(&|v| Velocity::new(-v.east_mps, v.north_mps)), Recorded::Disagree(_)));
        assert_eq!(judge(&vec![None; positional.len()], &positional), Recorded::Missing);
    }
}
