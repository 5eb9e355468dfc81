//! The wind triangle, and the closed forms of the trade for airspeed and wind from a few ground speeds.
//!
//! The program itself works with fits ([`crate::circle`]); these are the textbook relations that pilots check by
//! hand, and the fits must agree with them. Speeds in m/s or any one unit throughout.

use driftless_units::{Air, Angle, Ground, Velocity, Wind};

/// A leg that a wind lets one fly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Heading to steer.
    pub heading: Angle,
    /// Heading less course: positive when one must point to the right of the course.
    pub correction: Angle,
    /// Ground speed along the course; negative when the wind carries the aircraft backwards.
    pub ground_speed: f64,
}

/// Heading and ground speed that make good a course at an airspeed; `None` when the crosswind is too strong.
///
/// The solution that points along the course; with the wind above the airspeed there is a second, slower one.
pub fn leg(course: Angle, airspeed: f64, wind: Wind) -> Option<Leg> {
    let (sin, cos) = course.rad().sin_cos();
    let along = wind.east_mps * sin + wind.north_mps * cos;
    // To the right of the course.
    let across = wind.east_mps * cos - wind.north_mps * sin;
    let correction = Angle::from_rad((-across / airspeed).asin());
    (across.abs() <= airspeed && airspeed > 0.0).then(|| Leg {
        heading: course + correction,
        correction,
        ground_speed: airspeed * correction.rad().cos() + along,
    })
}

/// The wind that explains a ground velocity flown with an air velocity.
pub fn wind(ground: Velocity<Ground>, air: Velocity<Air>) -> Wind {
    Wind::new(ground.east_mps - air.east_mps, ground.north_mps - air.north_mps)
}

/// Airspeed and wind speed from the ground speeds on three *headings* 120° apart.
///
/// E. Williams, *Aviation Formulary*, "TAS and windspeed from three (GPS) groundspeeds". The form takes the larger
/// root for the airspeed, so when the wind is the stronger of the two they come out swapped. `None` when no
/// airspeed and wind give these speeds.
pub fn airspeed_and_wind_from_three_headings(ground_speeds: [f64; 3]) -> Option<(f64, f64)> {
    let mean_square = ground_speeds.iter().map(|v| v * v).sum::<f64>() / 3.0;
    let mu = ground_speeds.iter().map(|v| (v * v / mean_square - 1.0).powi(2)).sum::<f64>() / 6.0;
    let larger = 0.5 + (0.25 - mu).sqrt();
    let smaller = mu / larger;
    larger.is_finite().then(|| ((mean_square * larger).sqrt(), (mean_square * smaller).sqrt()))
}

/// Airspeed and wind from the ground speeds on *headings* north, east and south.
///
/// J. T. Lowry, *Performance of Light Aircraft*, AIAA 1999, p. 31. `None` when the first and third speed are equal
/// (wind straight from east or west, or none), where the form divides by zero, and when nothing fits.
pub fn airspeed_and_wind_from_north_east_south(ground_speeds: [f64; 3]) -> Option<(f64, Wind)> {
    let [north, east, south] = ground_speeds.map(|v| v * v);
    let p = 0.5 * (north + south);
    let a = (2.0 * east - north - south).atan2(south - north);
    let q = (south - north) / (4.0 * a.cos());
    let airspeed = (0.5 * (p + (p * p - 4.0 * q * q).sqrt())).sqrt();
    let wind_speed = (q / airspeed).abs();
    (north != south && airspeed.is_finite() && airspeed > 0.0)
        .then(|| (airspeed, Wind::from_speed_from(wind_speed, Angle::from_rad(-a))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circle::fit_circle;

    fn deg(d: f64) -> Angle {
        Angle::from_deg(d)
    }

    /// Ground-school answers (atplquestions.com general navigation 3; learntoflyblog.com 2015-08-06, an FAA
    /// knowledge-test question; pprune 1180621): printed to a degree and a knot, exact values recomputed.
    #[test]
    fn published_headings_and_ground_speeds() {
        for (course, tas, from, speed, wca, heading, ground_speed) in [
            (180.0, 180.0, 100.0, 18.0, -5.6517, 174.348, 175.999),
            (21.0, 110.0, 330.0, 25.0, -10.1732, 10.827, 92.538),
            (60.0, 90.0, 30.0, 15.0, -4.7802, 55.220, 76.697),
        ] {
            let leg = leg(deg(course), tas, Wind::from_speed_from(speed, deg(from))).unwrap();
            assert!((leg.correction.deg() - wca).abs() < 1e-3);
            assert!((leg.heading.bearing_deg() - heading).abs() < 1e-3);
            assert!((leg.ground_speed - ground_speed).abs() < 1e-3);
        }
    }

    /// Inverse cases: atplquestions.com general navigation 3; pprune 3027093; FAA private-pilot test (from memory).
    #[test]
    fn published_winds() {
        for (heading, tas, track, gs, from, speed, printed_from, printed_speed) in [
            (87.0, 160.0, 95.0, 130.0, 56.943, 36.123, 57.0, 36.0),
            (296.0, 225.0, 310.0, 250.0, 189.798, 62.982, 190.0, 63.0),
            (135.0, 135.0, 130.0, 140.0, 245.108, 12.994, 246.0, 13.0),
        ] {
            let found =
                wind(Velocity::from_speed_course(gs, deg(track)), Velocity::from_speed_course(tas, deg(heading)));
            assert!((found.from_deg() - from).abs() < 1e-3 && (found.speed_mps() - speed).abs() < 1e-3);
            assert!((found.from_deg() - printed_from).abs() < 1.0 && (found.speed_mps() - printed_speed).abs() < 1.0);
        }
    }

    /// A public page prints 12° to the *right*, heading 132, ground speed 101 for course 120, airspeed 110, wind
    /// 040/25. The wind is from the left, so one points left: 107.067, 102.868.
    #[test]
    fn published_wrong_answer_is_not_reproduced() {
        let leg = leg(deg(120.0), 110.0, Wind::from_speed_from(25.0, deg(40.0))).unwrap();
        assert!((leg.correction.deg() + 12.933).abs() < 1e-3);
        assert!((leg.heading.bearing_deg() - 107.067).abs() < 1e-3);
        assert!((leg.ground_speed - 102.868).abs() < 1e-3);
        assert!((leg.heading.bearing_deg() - 132.0).abs() > 20.0);
    }

    #[test]
    fn too_strong_a_crosswind_has_no_heading() {
        assert_eq!(leg(deg(0.0), 10.0, Wind::from_speed_from(12.0, deg(90.0))), None);
        let backwards = leg(deg(0.0), 10.0, Wind::from_speed_from(12.0, deg(0.0))).unwrap();
        assert!((backwards.ground_speed + 2.0).abs() < 1e-12);
    }

    /// K. Horton (newsgroup post): 100 kt in 20 kt from 270, headings 300, 120, 305. The post prints 177.7 once for
    /// 117.7, a typing error.
    #[test]
    fn published_ground_speeds_of_horton() {
        let air = Wind::from_speed_from(20.0, deg(270.0));
        for (heading, exact) in [(300.0, 83.28204), (120.0, 117.74592), (305.0, 84.40019)] {
            let v = air.ground_velocity(Velocity::from_speed_course(100.0, deg(heading)));
            assert!((v.speed_mps() - exact).abs() < 1e-5);
        }
    }

    /// Aviation Formulary: 100 kt, 20 kt from 270, headings 40, 160, 280.
    #[test]
    fn published_three_headings_of_williams() {
        let (tas, wind) = airspeed_and_wind_from_three_headings([113.890_958_5, 108.480_784_4, 80.378_908_9]).unwrap();
        assert!((tas - 100.0).abs() < 1e-6 && (wind - 20.0).abs() < 1e-6);
        // Wind above airspeed: the roots swap, which the circle fit does not do.
        let air = Wind::from_speed_from(14.0, deg(270.0));
        let legs = [40.0, 160.0, 280.0].map(|h| air.ground_velocity(Velocity::from_speed_course(10.0, deg(h))));
        let (first, second) = airspeed_and_wind_from_three_headings(legs.map(|v| v.speed_mps())).unwrap();
        assert!((first - 14.0).abs() < 1e-9 && (second - 10.0).abs() < 1e-9);
        let fit = fit_circle(&legs).unwrap();
        assert!((fit.airspeed_mps.value - 10.0).abs() < 1e-9 && (fit.wind.speed_mps() - 14.0).abs() < 1e-9);
        assert_eq!(airspeed_and_wind_from_three_headings([100.0, 1.0, 1.0]), None);
    }

    /// Lowry: 100 kt, 25 kt from 300, headings north, east, south.
    #[test]
    fn published_north_east_south_of_lowry() {
        let (tas, wind) =
            airspeed_and_wind_from_north_east_south([90.138_781_9, 122.291_156_7, 114.564_392_4]).unwrap();
        assert!((tas - 100.0).abs() < 1e-6 && (wind.speed_mps() - 25.0).abs() < 1e-6);
        assert!((wind.from_deg() - 300.0).abs() < 1e-5);
        assert_eq!(airspeed_and_wind_from_north_east_south([100.0, 120.0, 100.0]), None);
    }
}
