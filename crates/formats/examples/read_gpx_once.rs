//! One reading of a GPX log, for an instruction count or a profile: a demo flight of ten minutes.
//!
//! `valgrind --tool=callgrind --toggle-collect='driftless_formats::read*' target/release/examples/read_gpx_once`

use driftless_formats::{ReadHint, read};

const LOG: &[u8] = include_bytes!("../../../demo-tracks/meadow-light-wind.gpx");

fn main() {
    let log = read(LOG, &ReadHint::default());
    std::hint::black_box(log.is_ok());
}
