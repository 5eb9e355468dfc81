//! Any bytes as an inertial file beside a log.
#![no_main]

use driftless_analysis::InertialFile;
use driftless_report_fuzz::{LOG, report};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    report(LOG, None, None, Some(InertialFile::new("sensor".to_owned(), bytes.to_vec(), None)));
    let head = b"time,gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s,accel_x_mps2,accel_y_mps2,accel_z_mps2\n";
    let table = [&head[..], bytes].concat();
    report(LOG, None, None, Some(InertialFile::new("sensor".to_owned(), table, None)));
});
