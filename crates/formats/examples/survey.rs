//! Reads every file given and prints what came out: `cargo run --release -p driftless-formats --example survey -- FILE...`

#![allow(clippy::print_stdout)]

use driftless_formats::{ReadHint, read};
use std::time::Instant;

/// Name of a column, and where a fix keeps it.
type Column = (&'static str, fn(&driftless_track::Fix) -> Option<f64>);

fn main() {
    for path in std::env::args().skip(1) {
        let Ok(bytes) = std::fs::read(&path) else {
            println!("{path}: cannot be opened");
            continue;
        };
        let started = Instant::now();
        let outcome = read(&bytes, &ReadHint::default());
        let seconds = started.elapsed().as_secs_f64();
        println!("{path}: {} bytes, {:.0} MB/s", bytes.len(), bytes.len() as f64 / seconds / 1e6);
        let log = match outcome {
            Ok(log) => log,
            Err(error) => {
                println!("  [{}] {error}", error.code());
                continue;
            }
        };
        let (first, last) = (log.fixes.first(), log.fixes.last());
        println!(
            "  {:?}: {} fixes, {} marks, {} segments, {:?} to {:?}",
            log.format,
            log.fixes.len(),
            log.marks.len(),
            log.segment_starts.len(),
            first.map(|f| f.time.to_rfc3339()),
            last.map(|f| f.time.to_rfc3339())
        );
        let columns: [Column; 14] = [
            ("latitude", |f| Some(f.lat_deg)),
            ("longitude", |f| Some(f.lon_deg)),
            ("GNSS altitude", |f| f.gnss_altitude_m.get()),
            ("pressure altitude", |f| f.pressure_altitude_m.get()),
            ("speed", |f| f.ground_speed_mps.get()),
            ("course", |f| f.course_deg.get()),
            ("climb", |f| f.climb_mps.get()),
            ("true heading", |f| f.heading_true_deg.get()),
            ("magnetic heading", |f| f.heading_magnetic_deg.get()),
            ("true airspeed", |f| f.true_airspeed_mps.get()),
            ("engine speed", |f| f.engine_rpm.get()),
            ("engine noise", |f| f.engine_noise.get()),
            ("hdop", |f| f.hdop.get()),
            ("error", |f| f.horizontal_error_m.get()),
        ];
        for (name, column) in columns {
            let values: Vec<f64> = log.fixes.iter().filter_map(column).collect();
            let (low, high) = values.iter().fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(*v), h.max(*v)));
            if !values.is_empty() {
                println!("    {name}: {} values, {low} to {high}", values.len());
            }
        }
        for problem in &log.problems {
            println!(
                "    {:?} {} x{} line {:?}: {}",
                problem.severity, problem.code, problem.count, problem.line, problem.message
            );
        }
    }
}
