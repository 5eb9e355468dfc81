//! The local frame on the ellipsoid.

use super::{Check, Group};
use driftless_analysis::Geodetic;
use driftless_track::LocalFrame;

const MATTERHORN: &str = "MathWorks geodetic2enu page, Matterhorn from Zermatt (recomputed to 1e-6)";
const PARIS: &str = "MathWorks geodetic2ecef page (input from memory; recomputed)";
const FLINDERS: &str = "ICSM, GDA Technical Manual v2.4, chapter 4 (GDA94), less arc minus chord, s³/24R²";

pub(super) fn checks() -> Vec<Check> {
    let zermatt = LocalFrame { lat_deg: 46.017, lon_deg: 7.750, altitude_m: 1673.0 };
    let [e, n, u] = zermatt.to_enu(Geodetic { lat_deg: 45.976, lon_deg: 7.658, height_m: 4531.0 });
    let [x, y, z] = Geodetic { lat_deg: 48.8562, lon_deg: 2.3508, height_m: 67.4 }.to_ecef();
    let flinders = LocalFrame { lat_deg: -37.951_033_416_7, lon_deg: 144.424_867_888_9, altitude_m: 0.0 };
    let [fe, fn_, fu] =
        flinders.to_enu(Geodetic { lat_deg: -37.652_821_138_9, lon_deg: 143.926_495_527_8, height_m: 0.0 });
    let geodesic_m = 54_972.271;
    let chord_m = geodesic_m - f64::powi(geodesic_m, 3) / (24.0 * 6_371_008.8_f64.powi(2));
    vec![
        Check::new(Group::Geodesy, "Matterhorn: east, m", MATTERHORN, -7_134.757_196, e, 1e-5),
        Check::new(Group::Geodesy, "Matterhorn: north, m", MATTERHORN, -4_556.321_514, n, 1e-5),
        Check::new(Group::Geodesy, "Matterhorn: up, m", MATTERHORN, 2_852.390_424, u, 1e-5),
        Check::new(Group::Geodesy, "Paris: earth-centred x, m", PARIS, 4_200_996.789_6, x, 1e-4),
        Check::new(Group::Geodesy, "Paris: earth-centred y, m", PARIS, 172_460.321_5, y, 1e-4),
        Check::new(Group::Geodesy, "Paris: earth-centred z, m", PARIS, 4_780_102.830_9, z, 1e-4),
        Check::new(
            Group::Geodesy,
            "Flinders Peak to Buninyong: straight line, m",
            FLINDERS,
            chord_m,
            (fe * fe + fn_ * fn_ + fu * fu).sqrt(),
            2e-3,
        ),
    ]
}
