//! How much of the compass a flight's headings cover.

const SECTORS: usize = 36;
const SECTOR_DEG: f64 = 360.0 / SECTORS as f64;
/// Sectors of a quarter of the compass.
const PER_QUARTER: usize = SECTORS / 4;

/// 360° less the widest run of empty 10° sectors. Directions (east, north) of any length.
pub(super) fn coverage_deg(east: &[f64], north: &[f64]) -> f64 {
    // A direction is sorted into its sector by comparing slopes, at a fraction of the time of an arc tangent.
    let slopes: [f64; PER_QUARTER - 1] = std::array::from_fn(|k| (SECTOR_DEG * (k + 1) as f64).to_radians().tan());
    let mut full = [false; SECTORS];
    for (&east, &north) in east.iter().zip(north) {
        if let Some(slot) = full.get_mut(sector(east, north, &slopes)) {
            *slot = true;
        }
    }
    let (mut widest, mut run) = (0, 0);
    for filled in full.iter().chain(&full) {
        run = if *filled { 0 } else { run + 1 };
        widest = widest.max(run.min(SECTORS));
    }
    SECTOR_DEG * (SECTORS - widest) as f64
}

/// The sector of a direction, clockwise from north.
fn sector(east: f64, north: f64, slopes: &[f64; PER_QUARTER - 1]) -> usize {
    // The quarter, and the direction turned back into the first one: away from its first side, along it.
    let (quarter, away, along) = if east >= 0.0 && north > 0.0 {
        (0, east, north)
    } else if east > 0.0 {
        (1, -north, east)
    } else if north < 0.0 {
        (2, -east, -north)
    } else {
        (3, north, -east)
    };
    PER_QUARTER * quarter + slopes.iter().map(|slope| usize::from(away >= slope * along)).sum::<usize>()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derived_sectors_are_those_of_the_arc_tangent() {
        let slopes = std::array::from_fn(|k| (10.0 * (k + 1) as f64).to_radians().tan());
        // Every third of a degree, off the borders, where rounding decides.
        for k in 0..1_080 {
            let bearing_deg = f64::from(k) / 3.0 + 0.1;
            let (sin, cos) = bearing_deg.to_radians().sin_cos();
            assert_eq!(sector(7.0 * sin, 7.0 * cos, &slopes), (bearing_deg / 10.0) as usize, "{bearing_deg}");
        }
        for (east, north, expected) in [(0.0, 1.0, 0), (1.0, 0.0, 9), (0.0, -1.0, 18), (-1.0, 0.0, 27)] {
            assert_eq!(sector(east, north, &slopes), expected);
        }
    }
}
