//! The columns of a table of positions.

use crate::table::{ColumnSet, Dimension, MappingKey, Scale};

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Quantity {
    Time,
    Date,
    Latitude,
    Longitude,
    GnssAltitude,
    PressureAltitude,
    GroundSpeed,
    Course,
    Climb,
    /// Down positive.
    Sink,
    NorthVelocity,
    EastVelocity,
    HeadingTrue,
    HeadingMagnetic,
    TrueAirspeed,
    IndicatedAirspeed,
    EngineRpm,
    Hdop,
    HorizontalError,
    Mark,
}

impl ColumnSet for Quantity {
    const KEYS: &'static [MappingKey<Self>] = &[
        key("time", true, &[Self::Time]),
        key("date", false, &[Self::Date]),
        key("latitude", true, &[Self::Latitude]),
        key("longitude", true, &[Self::Longitude]),
        key("altitude", false, &[Self::GnssAltitude]),
        key("pressure_altitude", false, &[Self::PressureAltitude]),
        key("ground_speed", false, &[Self::GroundSpeed]),
        key("course", false, &[Self::Course]),
        key("climb", false, &[Self::Climb]),
        key("sink", false, &[Self::Sink]),
        key("velocity_north", false, &[Self::NorthVelocity]),
        key("velocity_east", false, &[Self::EastVelocity]),
        key("heading_true", false, &[Self::HeadingTrue]),
        key("heading_magnetic", false, &[Self::HeadingMagnetic]),
        key("true_airspeed", false, &[Self::TrueAirspeed]),
        key("indicated_airspeed", false, &[Self::IndicatedAirspeed]),
        key("engine_rpm", false, &[Self::EngineRpm]),
        key("hdop", false, &[Self::Hdop]),
        key("horizontal_error", false, &[Self::HorizontalError]),
        key("mark", false, &[Self::Mark]),
    ];
    const DIMENSIONS: &'static [Dimension] = &[Dimension::Time, Dimension::Length, Dimension::Speed, Dimension::Angle];

    fn named(letters: &str) -> Option<Self> {
        Some(match letters {
            "time" | "timestamp" | "datetime" | "utc" | "utctime" | "gpstime" | "timeutc" | "timez" | "utcz" | "t"
            | "ts" | "epoch" | "unixtime" | "seconds" | "elapsed" | "elapsedtime" | "timeiso" | "utcdatetime" => {
                Self::Time
            }
            "date" | "utcdate" | "dateutc" | "gpsdate" => Self::Date,
            "lat" | "latitude" | "gpslat" | "gpslatitude" | "latdeg" => Self::Latitude,
            "lon" | "lng" | "long" | "longitude" | "gpslon" | "gpslng" | "gpslongitude" => Self::Longitude,
            "alt" | "altitude" | "ele" | "elevation" | "height" | "gpsalt" | "gpsaltitude" | "gnssalt"
            | "gnssaltitude" | "altmsl" | "altitudemsl" | "hmsl" | "altgps" | "altitudegps" => Self::GnssAltitude,
            "baroalt" | "baroaltitude" | "altbaro" | "altitudebaro" | "pressurealt" | "pressurealtitude" => {
                Self::PressureAltitude
            }
            "gs" | "groundspeed" | "speed" | "gpsspeed" | "gpsgroundspeed" | "sog" | "spd" | "velocity"
            | "speedoverground" => Self::GroundSpeed,
            "course" | "cog" | "track" | "bearing" | "truetrack" | "groundcourse" | "courseoverground"
            | "gpscourse" | "gpstrack" => Self::Course,
            "climb" | "climbrate" | "vario" | "vs" | "verticalspeed" | "roc" | "rateofclimb" | "vu" | "velu" => {
                Self::Climb
            }
            "vd" | "veld" | "sink" | "sinkrate" => Self::Sink,
            "vn" | "veln" | "velnorth" | "northvelocity" => Self::NorthVelocity,
            "ve" | "vele" | "veleast" | "eastvelocity" => Self::EastVelocity,
            "headingtrue" | "trueheading" | "hdt" => Self::HeadingTrue,
            "headingmagnetic" | "magneticheading" | "hdm" | "compass" => Self::HeadingMagnetic,
            "tas" | "trueairspeed" => Self::TrueAirspeed,
            "ias" | "indicatedairspeed" => Self::IndicatedAirspeed,
            "rpm" | "enginerpm" | "enginespeed" => Self::EngineRpm,
            "hdop" => Self::Hdop,
            "hacc" | "horizontalaccuracy" | "accuracy" | "eph" | "horizontalerror" => Self::HorizontalError,
            "mark" | "marks" | "marker" | "event" => Self::Mark,
            _ => return None,
        })
    }

    fn dimension(self) -> Dimension {
        match self {
            Self::Time => Dimension::Time,
            Self::Date | Self::Mark | Self::Hdop => Dimension::Unitless,
            Self::Latitude | Self::Longitude | Self::Course | Self::HeadingTrue | Self::HeadingMagnetic => {
                Dimension::Angle
            }
            Self::GnssAltitude | Self::PressureAltitude | Self::HorizontalError => Dimension::Length,
            Self::GroundSpeed
            | Self::Climb
            | Self::Sink
            | Self::NorthVelocity
            | Self::EastVelocity
            | Self::TrueAirspeed
            | Self::IndicatedAirspeed => Dimension::Speed,
            Self::EngineRpm => Dimension::Revolutions,
        }
    }
}

/// The scale of a ground speed whose name tells its unit, as other formats name values, too.
pub(crate) fn ground_speed_scale(name: &str) -> Option<Scale> {
    let (quantity, scale) = Quantity::recognise(name)?;
    scale.filter(|_| quantity == Quantity::GroundSpeed)
}

const fn key(key: &'static str, needed: bool, quantities: &'static [Quantity]) -> MappingKey<Quantity> {
    MappingKey { key, needed, quantities }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Quantity as Q;

    #[test]
    fn names_and_units_are_recognised() {
        for (name, quantity, factor) in [
            ("t_s", Q::Time, Some(1.0)),
            ("time_utc", Q::Time, Some(1.0)),
            ("time_z", Q::Time, None),
            ("Time (ms)", Q::Time, Some(1e-3)),
            ("lat", Q::Latitude, None),
            ("lat_deg", Q::Latitude, Some(1.0)),
            ("Longitude [deg]", Q::Longitude, Some(1.0)),
            ("alt_m", Q::GnssAltitude, Some(1.0)),
            ("Altitude (ft)", Q::GnssAltitude, Some(0.3048)),
            ("gs_mps", Q::GroundSpeed, Some(1.0)),
            ("Ground Speed (km/h)", Q::GroundSpeed, Some(1.0 / 3.6)),
            ("ground_speed_km_h", Q::GroundSpeed, Some(1.0 / 3.6)),
            ("speed_ms", Q::GroundSpeed, Some(1.0)),
            ("ground_speed_kt", Q::GroundSpeed, Some(1852.0 / 3600.0)),
            ("course_deg", Q::Course, Some(1.0)),
            ("vd_mps", Q::Sink, Some(1.0)),
        ] {
            let found = Q::recognise(name).map(|(quantity, scale)| (quantity, scale.map(|s| s.factor)));
            assert_eq!(found, Some((quantity, factor)), "{name}");
        }
    }

    #[test]
    fn other_columns_are_left_alone() {
        // "heading" alone is the course in some loggers and the heading in others: only a mapping can tell.
        for name in [
            "nsat",
            "gx_rps",
            "yaw_deg",
            "airspeed_mps",
            "heading",
            "Speed (deg)",
            "lat (m)",
            "",
            "Accelerometer X (g)",
        ] {
            assert_eq!(Q::recognise(name), None, "{name}");
        }
    }
}
