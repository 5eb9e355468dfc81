//! From metres east and north of the site to latitude and longitude.

/// WGS-84 (NIMA TR8350.2): equatorial radius, metres.
const SEMI_MAJOR_M: f64 = 6_378_137.0;
/// WGS-84: flattening.
const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// Square of the first eccentricity.
const E2: f64 = FLATTENING * (2.0 - FLATTENING);
const DEGREE: f64 = std::f64::consts::PI / 180.0;

/// The tangent plane at the site, on the WGS-84 ellipsoid.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TangentPlane {
    origin_m: [f64; 3],
    altitude_m: f64,
    lon_rad: f64,
    sin_lat: f64,
    cos_lat: f64,
}

impl TangentPlane {
    pub(crate) fn new(lat_deg: f64, lon_deg: f64, altitude_m: f64) -> Self {
        let (lat_rad, lon_rad) = (lat_deg * DEGREE, lon_deg * DEGREE);
        Self {
            origin_m: earth_centred(lat_rad, 0.0, altitude_m),
            altitude_m,
            lon_rad,
            sin_lat: libm::sin(lat_rad),
            cos_lat: libm::cos(lat_rad),
        }
    }

    /// Latitude and longitude, degrees, of the point that lies `east_m`, `north_m` in the plane and at an altitude.
    ///
    /// The plane leaves the ellipsoid with distance (7.8 m at 10 km), so the height over the plane is found from the
    /// altitude; three rounds leave less than a micrometre within 100 km.
    pub(crate) fn lat_lon_deg(&self, east_m: f64, north_m: f64, altitude_m: f64) -> (f64, f64) {
        let mut up_m = altitude_m - self.altitude_m;
        let (mut lat_rad, mut lon_rad) = (0.0, 0.0);
        for _ in 0..3 {
            // The origin's meridian carries the x axis; longitude is counted from it.
            let [x0, _, z0] = self.origin_m;
            let x = x0 - self.sin_lat * north_m + self.cos_lat * up_m;
            let z = z0 + self.cos_lat * north_m + self.sin_lat * up_m;
            let height_m;
            (lat_rad, lon_rad, height_m) = geodetic(x, east_m, z);
            up_m += altitude_m - height_m;
        }
        let lon_deg = (self.lon_rad + lon_rad) / DEGREE;
        (lat_rad / DEGREE, driftless_units::wrap_180_deg(lon_deg))
    }
}

fn earth_centred(lat_rad: f64, lon_rad: f64, altitude_m: f64) -> [f64; 3] {
    let (sin_lat, cos_lat) = (libm::sin(lat_rad), libm::cos(lat_rad));
    let normal_m = SEMI_MAJOR_M / (1.0 - E2 * sin_lat * sin_lat).sqrt();
    [
        (normal_m + altitude_m) * cos_lat * libm::cos(lon_rad),
        (normal_m + altitude_m) * cos_lat * libm::sin(lon_rad),
        (normal_m * (1.0 - E2) + altitude_m) * sin_lat,
    ]
}

/// Latitude, longitude and height by the fixed-point iteration on latitude, which near the ground gains a factor of
/// 1/e² ≈ 150 a round: six rounds reach the last digit.
fn geodetic(x_m: f64, y_m: f64, z_m: f64) -> (f64, f64, f64) {
    let p_m = (x_m * x_m + y_m * y_m).sqrt();
    let mut lat_rad = libm::atan2(z_m, p_m * (1.0 - E2));
    let mut height_m = 0.0;
    for _ in 0..6 {
        let (sin_lat, cos_lat) = (libm::sin(lat_rad), libm::cos(lat_rad));
        let normal_m = SEMI_MAJOR_M / (1.0 - E2 * sin_lat * sin_lat).sqrt();
        // This form of the height is good at every latitude, poles included.
        height_m = p_m * cos_lat + z_m * sin_lat - SEMI_MAJOR_M * (1.0 - E2 * sin_lat * sin_lat).sqrt();
        lat_rad = libm::atan2(z_m, p_m * (1.0 - E2 * normal_m / (normal_m + height_m)));
    }
    (lat_rad, libm::atan2(y_m, x_m), height_m)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A point given in the plane comes back from its latitude, longitude and altitude to a micrometre.
    #[test]
    fn the_plane_round_trips() {
        for (lat_deg, lon_deg) in [(47.5, 11.2), (-33.9, 151.2), (0.0, 0.0), (69.6, -179.999)] {
            let plane = TangentPlane::new(lat_deg, lon_deg, 600.0);
            for (east_m, north_m, altitude_m) in [(0.0, 0.0, 600.0), (5000.0, -3000.0, 1200.0), (-80.0, 20_000.0, 0.0)]
            {
                let (lat, lon) = plane.lat_lon_deg(east_m, north_m, altitude_m);
                let d_lon = driftless_units::wrap_180_deg(lon - lon_deg) * DEGREE;
                let [x, y, z] = earth_centred(lat * DEGREE, d_lon, altitude_m);
                let [x0, y0, z0] = plane.origin_m;
                let north = -plane.sin_lat * (x - x0) + plane.cos_lat * (z - z0);
                assert!((y - y0 - east_m).abs() < 1e-6, "east {} for {east_m}", y - y0);
                assert!((north - north_m).abs() < 1e-6, "north {north} for {north_m}");
            }
        }
    }
}
