use super::*;
use geo::{Distance, Geodesic, InterpolatePoint, Point};
use proptest::prelude::*;

/// NIMA TR8350.2 / NGA.STND.0036 (from memory; derived values recomputed for the project).
#[test]
fn published_wgs84_constants() {
    assert!((SEMI_MAJOR_M * (1.0 - FLATTENING) - 6_356_752.314_245).abs() < 1e-6);
    assert!((ECCENTRICITY_SQ - 0.006_694_379_990_141_3).abs() < 1e-16);
}

/// Flinders Peak to Buninyong in GDA94: ICSM, *Geocentric Datum of Australia Technical Manual* v2.4, chapter 4, 54972.271 m
/// printed to 1 mm. Our straight line through the Earth is shorter than that geodesic by arc less chord, s³/(24 R²), 0.17 m
/// here; the curvature radius of this azimuth and place differs from the mean by under 0.5 %.
#[test]
fn published_flinders_peak_to_buninyong() {
    let flinders = LocalFrame { lat_deg: -37.951_033_416_7, lon_deg: 144.424_867_888_9, altitude_m: 0.0 };
    let buninyong = Geodetic { lat_deg: -37.652_821_138_9, lon_deg: 143.926_495_527_8, height_m: 0.0 };
    let [e, n, u] = flinders.to_enu(buninyong);
    let chord_m = (e * e + n * n + u * u).sqrt();
    let expected_m = 54_972.271 - 54_972.271_f64.powi(3) / (24.0 * 6_371_008.8_f64.powi(2));
    assert!((chord_m - expected_m).abs() < 2e-3, "{chord_m}");
}

/// MathWorks `geodetic2enu` and `enu2lla` pages: Matterhorn seen from Zermatt, printed to 0.1 m; recomputed to 1e-6.
/// MathWorks `geodetic2ecef` page: a point in Paris.
#[test]
fn published_matterhorn_and_paris() {
    let zermatt = LocalFrame { lat_deg: 46.017, lon_deg: 7.750, altitude_m: 1673.0 };
    let enu = zermatt.to_enu(Geodetic { lat_deg: 45.976, lon_deg: 7.658, height_m: 4531.0 });
    for ((got, printed), exact) in
        enu.iter().zip([-7134.8, -4556.3, 2852.4]).zip([-7_134.757_196, -4_556.321_514, 2_852.390_424])
    {
        assert!((got - printed).abs() < 0.1 && (got - exact).abs() < 1e-5, "{got}");
    }
    let back = zermatt.enu_to_geodetic([-7134.8, -4556.3, 2852.4]);
    assert!((back.lat_deg - 45.976_000_19).abs() < 1e-8 && (back.lon_deg - 7.657_999_45).abs() < 1e-8);
    assert!((back.height_m - 4531.0096).abs() < 1e-4);

    let paris = Geodetic { lat_deg: 48.8562, lon_deg: 2.3508, height_m: 67.4 }.to_ecef();
    for (got, exact) in paris.iter().zip([4_200_996.789_6, 172_460.321_5, 4_780_102.830_9]) {
        assert!((got - exact).abs() < 1e-4, "{got}");
    }
}

/// Length of a degree on WGS-84, recomputed for the project from the meridian and prime-vertical radii.
#[test]
fn derived_metres_per_degree() {
    for (lat, per_lat, per_lon) in [
        (0.0, 110_574.276, 111_319.491),
        (30.0, 110_852.442, 96_486.280),
        (45.0, 111_131.777, 78_846.835),
        (60.0, 111_412.287, 55_800.002),
    ] {
        let [got_lat, got_lon] = metres_per_degree(lat);
        assert!((got_lat - per_lat).abs() < 1e-3 && (got_lon - per_lon).abs() < 1e-3, "{lat}");
        let frame = LocalFrame { lat_deg: lat, lon_deg: 10.0, altitude_m: 0.0 };
        let step = frame.to_local(lat + 1e-4, 10.0 + 1e-4);
        // A ten-thousandth of a degree, 11 m, is flat to 1e-5 of itself.
        assert!((step.north_m / (1e-4 * per_lat) - 1.0).abs() < 1e-5);
        assert!((step.east_m / (1e-4 * per_lon) - 1.0).abs() < 1e-5);
    }
}

#[test]
fn true_north_away_from_the_origin_turns_by_the_convergence() {
    let frame = LocalFrame { lat_deg: 47.0, lon_deg: 179.9, altitude_m: 400.0 };
    // 40 km away, across the date line.
    let (lat, lon) = (47.1, -179.6);
    let (a, b) = (frame.to_local(lat, lon), frame.to_local(lat + 1e-5, lon));
    let seen = Angle::from_rad((b.east_m - a.east_m).atan2(b.north_m - a.north_m));
    assert!((seen - frame.convergence(lon)).deg().abs() < 2e-3);
    assert!(seen.deg() < -0.3);
}

#[test]
fn distances_between_local_positions_follow_the_ellipsoid() {
    let frame = LocalFrame { lat_deg: 47.0, lon_deg: 8.0, altitude_m: 0.0 };
    let (a, b) = (Point::new(8.4, 47.0), Point::new(8.41, 47.005));
    let (pa, pb) = (frame.to_local(a.y(), a.x()), frame.to_local(b.y(), b.x()));
    let got = (pb.east_m - pa.east_m).hypot(pb.north_m - pa.north_m);
    // 30 km from the origin: d²/(2 R²) = 1.1e-5 at most, as the module states.
    assert!((got / Geodesic.distance(a, b) - 1.0).abs() < 1.2e-5);
    let half = Geodesic.point_at_ratio_between(a, b, 0.5);
    let ph = frame.to_local(half.y(), half.x());
    assert!((ph.east_m - 0.5 * (pa.east_m + pb.east_m)).abs() < 0.01);
}

proptest! {
    #[test]
    fn there_and_back_to_a_micrometre(
        lat in -89.0..89.0f64, lon in -180.0..180.0f64, h in -400.0..9000.0f64,
        e in -80_000.0..80_000.0f64, n in -80_000.0..80_000.0f64, u in -500.0..9000.0f64,
    ) {
        let frame = LocalFrame { lat_deg: lat, lon_deg: lon, altitude_m: h };
        let [e2, n2, u2] = frame.to_enu(frame.enu_to_geodetic([e, n, u]));
        prop_assert!((e2 - e).abs() < 1e-6 && (n2 - n).abs() < 1e-6 && (u2 - u).abs() < 1e-6);
        let point = frame.to_geodetic(Position::new(e, n));
        prop_assert!((point.height_m - h).abs() < 1e-6);
        let again = frame.to_local(point.lat_deg, point.lon_deg);
        prop_assert!((again.east_m - e).abs() < 1e-6 && (again.north_m - n).abs() < 1e-6);
    }

    #[test]
    fn earth_centred_there_and_back(lat in -90.0..90.0f64, lon in -180.0..180.0f64, h in -400.0..20_000.0f64) {
        let back = Geodetic::from_ecef(Geodetic { lat_deg: lat, lon_deg: lon, height_m: h }.to_ecef());
        prop_assert!((back.lat_deg - lat).abs() < 1e-11 && (back.height_m - h).abs() < 1e-7);
    }
}
