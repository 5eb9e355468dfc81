//! Ranges outside of which a recorded number is a fault of the recorder.

/// Latitude in degrees, or `None`.
pub(crate) fn latitude(deg: f64) -> Option<f64> {
    (-90.0..=90.0).contains(&deg).then_some(deg)
}

/// Longitude in degrees, both ends of `[-180, 180]` allowed, or `None`.
pub(crate) fn longitude(deg: f64) -> Option<f64> {
    (-180.0..=180.0).contains(&deg).then_some(deg)
}

/// Speed in m/s: not negative and below 500 m/s (GNSS receivers for civil use stop at 1,000 knots, about 514 m/s).
pub(crate) fn speed_mps(mps: f64) -> Option<f64> {
    (0.0..500.0).contains(&mps).then_some(mps)
}

/// Climb in m/s, below 500 m/s either way.
pub(crate) fn climb_mps(mps: f64) -> Option<f64> {
    (mps.abs() < 500.0).then_some(mps)
}

/// A direction as written, 0 to 360 with both ends allowed, brought into `[0, 360)`.
pub(crate) fn direction_deg(deg: f64) -> Option<f64> {
    if deg == 360.0 {
        return Some(0.0);
    }
    (0.0..360.0).contains(&deg).then_some(deg)
}

/// Altitude in metres: from the deepest shore to above any balloon.
pub(crate) fn altitude_m(m: f64) -> Option<f64> {
    (-1_000.0..60_000.0).contains(&m).then_some(m)
}

/// A dilution of precision or an error estimate: positive and finite.
pub(crate) fn positive(value: f64) -> Option<f64> {
    (value > 0.0 && value.is_finite()).then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_of_the_ranges() {
        assert_eq!(longitude(180.0), Some(180.0));
        assert_eq!(longitude(-180.0), Some(-180.0));
        assert_eq!(latitude(90.0), Some(90.0));
        assert_eq!(latitude(95.0), None);
        assert_eq!(direction_deg(360.0), Some(0.0));
        assert_eq!(direction_deg(400.0), None);
        assert_eq!(speed_mps(-1.0), None);
        assert_eq!(latitude(f64::NAN).or(longitude(f64::NAN)).or(altitude_m(f64::NAN)).or(positive(f64::NAN)), None);
    }
}
