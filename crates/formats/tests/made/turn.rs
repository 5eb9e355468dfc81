//! The invented right turn that the good fixtures of every format tell: twelve fixes, one each second.

/// One fix.
pub(crate) struct TurnFix {
    /// Seconds from 2026-05-01T09:00:00Z.
    pub(crate) second: u32,
    /// In 1e-7°, as the other fixtures write them.
    pub(crate) lat_e7: i64,
    pub(crate) lon_e7: i64,
    /// In tenths of a metre.
    pub(crate) altitude_dm: i64,
}

impl TurnFix {
    pub(crate) fn lat_deg(&self) -> f64 {
        self.lat_e7 as f64 / 1e7
    }

    pub(crate) fn lon_deg(&self) -> f64 {
        self.lon_e7 as f64 / 1e7
    }

    pub(crate) fn altitude_m(&self) -> f64 {
        self.altitude_dm as f64 / 10.0
    }

    pub(crate) fn time(&self) -> String {
        format!("2026-05-01T09:00:{:02}Z", self.second)
    }
}

const PLACES: [(i64, i64); 12] = [
    (475_000_000, 82_500_000),
    (475_000_789, 82_500_758),
    (475_001_521, 82_501_634),
    (475_002_187, 82_502_618),
    (475_002_779, 82_503_700),
    (475_003_292, 82_504_867),
    (475_003_719, 82_506_108),
    (475_004_056, 82_507_407),
    (475_004_300, 82_508_752),
    (475_004_447, 82_510_126),
    (475_004_496, 82_511_516),
    (475_004_447, 82_512_906),
];

pub(crate) fn turn() -> Vec<TurnFix> {
    let fix = |(second, (lat_e7, lon_e7)): (u32, (i64, i64))| TurnFix {
        second,
        lat_e7,
        lon_e7,
        altitude_dm: 6_000 + 5 * i64::from(second),
    };
    (0..).zip(PLACES).map(fix).collect()
}
