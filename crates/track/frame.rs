//! The local frame: exact east-north-up on the WGS-84 ellipsoid, there and back.
//!
//! Horizontal positions are taken after carrying each point along its own vertical to the height of the frame, so
//! that climbing or a noisy altitude moves nothing sideways. What is left of the Earth's curvature: at a distance
//! d from the origin lengths away from it are short by d²/(2 R²), 1 part in 100,000 at 30 km, and true north turns
//! by the convergence of the meridians, which [`LocalFrame::convergence`] gives and the track applies to courses.

use crate::LocalFrame;
use driftless_units::{Angle, Ground, Position};

/// WGS-84 semi-major axis, m (NGA.STND.0036; NIMA TR8350.2).
const SEMI_MAJOR_M: f64 = 6_378_137.0;
/// WGS-84 flattening (same sources).
const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// First eccentricity squared, f (2 - f).
const ECCENTRICITY_SQ: f64 = FLATTENING * (2.0 - FLATTENING);

/// A point on or near the ellipsoid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Geodetic {
    /// Latitude, degrees, north positive.
    pub lat_deg: f64,
    /// Longitude, degrees, east positive, in `[-180, 180]`.
    pub lon_deg: f64,
    /// Height above the ellipsoid, m.
    pub height_m: f64,
}

impl Geodetic {
    /// Earth-centred, earth-fixed coordinates, m.
    pub fn to_ecef(self) -> [f64; 3] {
        let (sin_lat, cos_lat) = self.lat_deg.to_radians().sin_cos();
        let (sin_lon, cos_lon) = self.lon_deg.to_radians().sin_cos();
        let n_m = prime_vertical_radius_m(sin_lat);
        [
            (n_m + self.height_m) * cos_lat * cos_lon,
            (n_m + self.height_m) * cos_lat * sin_lon,
            (n_m * (1.0 - ECCENTRICITY_SQ) + self.height_m) * sin_lat,
        ]
    }

    /// From earth-centred, earth-fixed coordinates, m.
    ///
    /// B. R. Bowring, *Transformation from spatial to geographical coordinates*, Survey Review 23 (1976); three
    /// rounds of his parametric latitude leave nothing above rounding between the ground and satellite heights.
    pub fn from_ecef([x, y, z]: [f64; 3]) -> Self {
        let p = x.hypot(y);
        let b_m = SEMI_MAJOR_M * (1.0 - FLATTENING);
        let second_ecc_sq = ECCENTRICITY_SQ / (1.0 - ECCENTRICITY_SQ);
        let mut beta = (z * SEMI_MAJOR_M).atan2(p * b_m);
        let mut lat = 0.0_f64;
        for _ in 0..3 {
            let (sin_b, cos_b) = beta.sin_cos();
            lat = (z + second_ecc_sq * b_m * sin_b.powi(3)).atan2(p - ECCENTRICITY_SQ * SEMI_MAJOR_M * cos_b.powi(3));
            beta = ((1.0 - FLATTENING) * lat.sin()).atan2(lat.cos());
        }
        let (sin_lat, cos_lat) = lat.sin_cos();
        // This form of the height is well conditioned at every latitude.
        let height_m = p * cos_lat + z * sin_lat - SEMI_MAJOR_M * (1.0 - ECCENTRICITY_SQ * sin_lat * sin_lat).sqrt();
        Self { lat_deg: lat.to_degrees(), lon_deg: y.atan2(x).to_degrees(), height_m }
    }
}

/// Radius of curvature in the prime vertical, m.
fn prime_vertical_radius_m(sin_lat: f64) -> f64 {
    SEMI_MAJOR_M / (1.0 - ECCENTRICITY_SQ * sin_lat * sin_lat).sqrt()
}

/// Length of one degree of latitude and of longitude at a latitude, m, on the ellipsoid.
pub(crate) fn metres_per_degree(lat_deg: f64) -> [f64; 2] {
    let (sin_lat, cos_lat) = lat_deg.to_radians().sin_cos();
    let n_m = prime_vertical_radius_m(sin_lat);
    // Meridian radius of curvature M = N (1 - e²) / (1 - e² sin²φ).
    let m_m = n_m * (1.0 - ECCENTRICITY_SQ) / (1.0 - ECCENTRICITY_SQ * sin_lat * sin_lat);
    [m_m.to_radians(), (n_m * cos_lat).to_radians()]
}

impl LocalFrame {
    /// East, north and up from the origin, m, of a point with its own height: exact, straight through the Earth.
    pub fn to_enu(&self, point: Geodetic) -> [f64; 3] {
        Axes::new(self).to_enu(point)
    }

    /// The point at east, north and up from the origin, m.
    pub fn enu_to_geodetic(&self, enu: [f64; 3]) -> Geodetic {
        Axes::new(self).enu_to_geodetic(enu)
    }

    /// Horizontal position of a latitude and longitude, taken at the height of the frame.
    pub fn to_local(&self, lat_deg: f64, lon_deg: f64) -> Position<Ground> {
        Axes::new(self).to_local(lat_deg, lon_deg)
    }

    /// Latitude and longitude of a horizontal position: the inverse of [`to_local`](Self::to_local).
    pub fn to_geodetic(&self, position: Position<Ground>) -> Geodetic {
        Axes::new(self).to_geodetic(position)
    }

    /// How far true north at a longitude points to the right of the frame's north (convergence of meridians).
    ///
    /// Add it to a true course or heading to get the direction in the frame. First order in the distance from
    /// the origin; the next term is below 0.01° within 100 km at middle latitudes.
    pub fn convergence(&self, lon_deg: f64) -> Angle {
        let dlon_deg = driftless_units::wrap_180_deg(lon_deg - self.lon_deg);
        Angle::from_deg(-dlon_deg * self.lat_deg.to_radians().sin())
    }
}

/// The axes of a frame, worked out once for many points.
pub(crate) struct Axes {
    origin: [f64; 3],
    height_m: f64,
    /// Rows: east, north, up, in earth-centred axes.
    rows: [[f64; 3]; 3],
}

impl Axes {
    pub(crate) fn new(frame: &LocalFrame) -> Self {
        let (sin_lat, cos_lat) = frame.lat_deg.to_radians().sin_cos();
        let (sin_lon, cos_lon) = frame.lon_deg.to_radians().sin_cos();
        Self {
            origin: Geodetic { lat_deg: frame.lat_deg, lon_deg: frame.lon_deg, height_m: frame.altitude_m }.to_ecef(),
            height_m: frame.altitude_m,
            rows: [
                [-sin_lon, cos_lon, 0.0],
                [-sin_lat * cos_lon, -sin_lat * sin_lon, cos_lat],
                [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat],
            ],
        }
    }

    fn to_enu(&self, point: Geodetic) -> [f64; 3] {
        let [x, y, z] = point.to_ecef();
        let [ox, oy, oz] = self.origin;
        self.rows.map(|[a, b, c]| a * (x - ox) + b * (y - oy) + c * (z - oz))
    }

    fn enu_to_geodetic(&self, [east, north, up]: [f64; 3]) -> Geodetic {
        let ([ox, oy, oz], [[ex, ey, ez], [nx, ny, nz], [ux, uy, uz]]) = (self.origin, self.rows);
        Geodetic::from_ecef([
            ox + east * ex + north * nx + up * ux,
            oy + east * ey + north * ny + up * uy,
            oz + east * ez + north * nz + up * uz,
        ])
    }

    pub(crate) fn to_local(&self, lat_deg: f64, lon_deg: f64) -> Position<Ground> {
        let [east, north, _] = self.to_enu(Geodetic { lat_deg, lon_deg, height_m: self.height_m });
        Position::new(east, north)
    }

    fn to_geodetic(&self, position: Position<Ground>) -> Geodetic {
        let mut up_m = 0.0;
        let mut point = self.enu_to_geodetic([position.east_m, position.north_m, up_m]);
        // Slide along the frame's vertical until the height is the frame's; each round gains a factor (d/R)².
        for _ in 0..6 {
            up_m -= point.height_m - self.height_m;
            point = self.enu_to_geodetic([position.east_m, position.north_m, up_m]);
        }
        point
    }
}

#[cfg(test)]
mod tests;
