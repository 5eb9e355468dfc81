//! Lines of logs as published.

use super::{Check, Group};
use driftless_analysis::FlightLog;
use driftless_formats::{ReadHint, read};

const GUIDE: &str = "I. Forster-Lewis, IGC file format reference and developers' guide, first example";
const RULES: &str = "third-party test line, read by the byte positions of the FAI/IGC specification";
const DEPRIEST: &str = "D. DePriest, gpsinformation.org/dale/nmea.htm";

pub(super) fn checks() -> Vec<Check> {
    let igc = log("HFDTE160701\nB1101355206343N00006198WA0058700558\n");
    let south = log("HFDTE160701\nI023638ENL3941MOP\nB1101365206343S00006198EV-001200000000999\n");
    let nmea = log("$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\n\
                    $GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\n");
    let first = |log: &Option<FlightLog>, value: fn(&driftless_track::Fix) -> Option<f64>| {
        log.as_ref().and_then(|l| l.fixes.first()).and_then(value).unwrap_or(f64::NAN)
    };
    let lat = |fix: &driftless_track::Fix| Some(fix.lat_deg);
    let lon = |fix: &driftless_track::Fix| Some(fix.lon_deg);
    vec![
        Check::new(Group::Formats, "IGC: latitude, °", GUIDE, 52.105_716_667, first(&igc, lat), 1e-9),
        Check::new(Group::Formats, "IGC: longitude, °", GUIDE, -0.103_3, first(&igc, lon), 1e-9),
        Check::new(
            Group::Formats,
            "IGC: GNSS altitude, m",
            GUIDE,
            558.0,
            first(&igc, |f| f.gnss_altitude_m.get()),
            0.0,
        ),
        Check::derived(Group::Formats, "IGC: southern latitude, °", RULES, -52.105_716_667, first(&south, lat), 1e-9),
        Check::derived(
            Group::Formats,
            "IGC: negative pressure altitude, m",
            RULES,
            -12.0,
            first(&south, |f| f.pressure_altitude_m.get()),
            0.0,
        ),
        Check::new(Group::Formats, "NMEA: latitude, °", DEPRIEST, 48.1173, first(&nmea, lat), 1e-9),
        Check::new(
            Group::Formats,
            "NMEA: ground speed, m/s",
            DEPRIEST,
            11.523_556,
            first(&nmea, |f| f.ground_speed_mps.get()),
            5e-7,
        ),
        Check::new(Group::Formats, "NMEA: true course, °", DEPRIEST, 84.4, first(&nmea, |f| f.course_deg.get()), 0.0),
    ]
}

fn log(text: &str) -> Option<FlightLog> {
    read(text.as_bytes(), &ReadHint::default()).ok()
}
