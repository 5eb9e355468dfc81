//! Positions in the local frame, for questions on standard input, a line each: latitude, longitude and height of the frame, then of
//! a point. Gives metres east and north, and where that comes out again. `tests/differential` holds it against another library.

use driftless_track::LocalFrame;
use std::io::{self, BufRead, Write};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut out = io::stdout().lock();
    for line in io::stdin().lock().lines() {
        let line = line?;
        let numbers = line.split_whitespace().map(str::parse).collect::<Result<Vec<f64>, _>>()?;
        let [lat_deg, lon_deg, altitude_m, lat, lon] = numbers[..] else {
            return Err("five numbers are needed".into());
        };
        let frame = LocalFrame { lat_deg, lon_deg, altitude_m };
        let way = frame.to_local(lat, lon);
        let back = frame.to_geodetic(way);
        writeln!(out, "{:e} {:e} {:e} {:e}", way.east_m, way.north_m, back.lat_deg, back.lon_deg)?;
    }
    Ok(())
}
