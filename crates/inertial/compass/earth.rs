//! The Earth's field where and when the flight was: World Magnetic Model (NOAA NCEI and BGS), 2020 and 2025 editions.

use chrono::{DateTime, Datelike, Utc};
use world_magnetic_model::GeomagneticField;
use world_magnetic_model::time::Date;
use world_magnetic_model::uom::si::angle::degree;
use world_magnetic_model::uom::si::f32::{Angle, Length};
use world_magnetic_model::uom::si::length::meter;
use world_magnetic_model::uom::si::magnetic_flux_density::microtesla;

/// The field at a place and a date.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EarthField {
    /// Declination, degrees, east positive: true heading = magnetic heading + declination.
    pub declination_deg: f64,
    /// Standard uncertainty of the declination by the model's own error model, degrees.
    pub declination_std_u_deg: f64,
    /// Inclination, degrees, downward positive.
    pub inclination_deg: f64,
    /// Strength, µT.
    pub strength_ut: f64,
}

/// Why the model gives no field.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EarthError {
    /// Out of the years of the editions at hand.
    #[error("no World Magnetic Model for the year {year}")]
    Year {
        /// The year.
        year: i32,
    },
}

/// The field at WGS-84 latitude and longitude, height above the ellipsoid, and date.
///
/// # Errors
/// [`EarthError`] outside the years of the model.
pub fn earth_field(lat_deg: f64, lon_deg: f64, height_m: f64, date: DateTime<Utc>) -> Result<EarthField, EarthError> {
    let year = EarthError::Year { year: date.year() };
    let ordinal = u16::try_from(date.ordinal()).map_err(|_| year.clone())?;
    let day = Date::from_ordinal_date(date.year(), ordinal).map_err(|_| year.clone())?;
    let field = GeomagneticField::new(
        Length::new::<meter>(height_m as f32),
        Angle::new::<degree>(lat_deg as f32),
        Angle::new::<degree>(driftless_units::wrap_180_deg(lon_deg) as f32),
        day,
    )
    .map_err(|_| year)?;
    Ok(EarthField {
        declination_deg: f64::from(field.declination().get::<degree>()),
        declination_std_u_deg: f64::from(field.declination_uncertainty().get::<degree>()),
        inclination_deg: f64::from(field.inclination().get::<degree>()),
        strength_ut: f64::from(field.f().get::<microtesla>()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NOAA NCEI/BGS, WMM2025_TEST_VALUES.txt (17 December 2024). Printed to 0.01° and 0.1 nT; the crate reckons in single
    /// precision (0.01° more, 5 nT of strength) and takes whole days where the table has halves of a year (182.5 days).
    #[test]
    fn published_world_magnetic_model_2025() {
        for (date, height_km, lat, lon, strength_nt, inclination, declination) in [
            ("2025-01-01", 0.0, 80.0, 0.0, 55_178.5, 83.21, 1.28),
            ("2025-01-01", 0.0, 0.0, 120.0, 41_064.3, -14.93, -0.16),
            ("2025-01-01", 0.0, -80.0, 240.0, 54_698.2, -72.00, 68.78),
            ("2025-01-01", 100.0, 80.0, 0.0, 52_964.9, 83.26, 0.85),
            ("2027-07-02", 0.0, 80.0, 0.0, 55_253.9, 83.24, 2.59),
            ("2027-07-02", 0.0, 0.0, 120.0, 41_036.9, -14.65, -0.24),
            ("2027-07-02", 100.0, -80.0, 240.0, 51_825.7, -72.10, 67.93),
        ] {
            let date = format!("{date}T00:00:00Z").parse().unwrap();
            let field = earth_field(lat, lon, 1000.0 * height_km, date).unwrap();
            assert!((field.declination_deg - declination).abs() < 0.015, "{field:?} against {declination}");
            assert!((field.inclination_deg - inclination).abs() < 0.015, "{field:?} against {inclination}");
            assert!((1000.0 * field.strength_ut - strength_nt).abs() < 5.0, "{field:?} against {strength_nt}");
        }
    }

    /// From the 100-point file of the same edition, declination only.
    #[test]
    fn published_declinations_near_the_pole_and_in_the_south() {
        for (date, height_km, lat, lon, declination) in [
            ("2025-01-01", 28.0, 89.0, -121.0, -99.77),
            ("2025-01-01", 48.0, 80.0, -96.0, -29.91),
            ("2025-07-02", 6.0, -36.0, -137.0, 20.28),
        ] {
            let date = format!("{date}T00:00:00Z").parse().unwrap();
            let field = earth_field(lat, lon, 1000.0 * height_km, date).unwrap();
            assert!((field.declination_deg - declination).abs() < 0.03, "{field:?} against {declination}");
        }
    }

    #[test]
    fn years_without_a_model_are_refused() {
        for year in [1970, 2035] {
            let date = format!("{year}-06-01T00:00:00Z").parse().unwrap();
            assert_eq!(earth_field(47.0, 11.0, 500.0, date), Err(EarthError::Year { year }));
        }
    }
}
