//! What a column is, told by its name: the quantity and the unit.

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

/// How a column's numbers become SI (times: seconds): `value * factor`. `None` when the name has no unit.
pub(super) type Factor = Option<f64>;

/// Lower-case words of a column name, its unit taken off.
#[derive(Debug, PartialEq)]
struct Name {
    words: String,
    unit: Option<String>,
}

impl Name {
    /// `Speed (km/h)`, `alt [ft]`, `gs_mps`, `Ground Speed kt`: the unit stands in brackets, or is the last word.
    fn parse(name: &str) -> Self {
        let lower = name.trim().trim_matches('"').to_lowercase();
        if let Some((words, unit)) = lower.split_once(['(', '[']) {
            let unit = unit.trim_end_matches([')', ']', ' ']);
            return Self { words: letters(words), unit: Some(unit.trim().to_owned()) };
        }
        let parts: Vec<&str> = lower.split(['_', ' ', '-', '.']).filter(|part| !part.is_empty()).collect();
        match parts.split_last() {
            Some((last, before)) if !before.is_empty() && is_unit(last) => {
                Self { words: before.concat(), unit: Some((*last).to_owned()) }
            }
            _ => Self { words: letters(&lower), unit: None },
        }
    }
}

fn letters(text: &str) -> String {
    text.chars().filter(char::is_ascii_alphanumeric).collect()
}

fn is_unit(word: &str) -> bool {
    length_m(word).is_some() || speed_mps(word).is_some() || angle_deg(word).is_some() || time_s(word).is_some()
}

fn length_m(unit: &str) -> Option<f64> {
    Some(match unit {
        "m" | "meter" | "meters" | "metre" | "metres" | "msl" => 1.0,
        "km" => 1000.0,
        "ft" | "feet" => 0.3048,
        "cm" => 0.01,
        "mm" => 0.001,
        _ => return None,
    })
}

fn speed_mps(unit: &str) -> Option<f64> {
    Some(match unit {
        "m/s" | "mps" | "ms" | "ms-1" | "m/sec" => 1.0,
        "km/h" | "kmh" | "kph" | "kmph" => 1.0 / 3.6,
        "kt" | "kts" | "kn" | "knot" | "knots" => 1852.0 / 3600.0,
        "mph" => 0.44704,
        "fps" | "ft/s" => 0.3048,
        "fpm" | "ft/min" => 0.3048 / 60.0,
        "cm/s" | "cmps" => 0.01,
        _ => return None,
    })
}

fn angle_deg(unit: &str) -> Option<f64> {
    Some(match unit {
        "deg" | "degrees" | "degree" | "°" | "degt" => 1.0,
        "rad" => 180.0 / std::f64::consts::PI,
        "e7" | "dege7" => 1e-7,
        _ => return None,
    })
}

fn time_s(unit: &str) -> Option<f64> {
    Some(match unit {
        "utc" | "z" | "iso" | "gmt" => 1.0,
        "s" | "sec" | "secs" | "seconds" => 1.0,
        "ms" | "msec" | "milliseconds" => 1e-3,
        "us" => 1e-6,
        "ns" => 1e-9,
        "min" => 60.0,
        _ => return None,
    })
}

/// The quantity and the factor of a column name; `None` for one this job has no use for.
pub(super) fn recognise(name: &str) -> Option<(Quantity, Factor)> {
    let name = Name::parse(name);
    let quantity = quantity(&name.words)?;
    let factor = match &name.unit {
        None => None,
        // A unit that does not fit the quantity: another thing of the same name.
        Some(unit) => Some(factor(quantity, unit)?),
    };
    Some((quantity, factor))
}

/// The factor of a unit for a quantity.
pub(super) fn factor(quantity: Quantity, unit: &str) -> Option<f64> {
    use Quantity as Q;
    match quantity {
        Q::Time => time_s(unit),
        Q::Date | Q::Mark => Some(1.0),
        Q::Latitude | Q::Longitude | Q::Course | Q::HeadingTrue | Q::HeadingMagnetic => angle_deg(unit),
        Q::GnssAltitude | Q::PressureAltitude | Q::HorizontalError => length_m(unit),
        Q::GroundSpeed
        | Q::Climb
        | Q::Sink
        | Q::NorthVelocity
        | Q::EastVelocity
        | Q::TrueAirspeed
        | Q::IndicatedAirspeed => speed_mps(unit),
        Q::EngineRpm => matches!(unit, "rpm" | "1/min" | "min").then_some(1.0),
        Q::Hdop => Some(1.0),
    }
}

fn quantity(words: &str) -> Option<Quantity> {
    use Quantity as Q;
    Some(match words {
        "time" | "timestamp" | "datetime" | "utc" | "utctime" | "gpstime" | "timeutc" | "t" | "ts" | "epoch"
        | "unixtime" | "seconds" | "elapsed" | "elapsedtime" | "timeiso" | "utcdatetime" => Q::Time,
        "date" | "utcdate" | "dateutc" | "gpsdate" => Q::Date,
        "lat" | "latitude" | "gpslat" | "gpslatitude" | "latdeg" => Q::Latitude,
        "lon" | "lng" | "long" | "longitude" | "gpslon" | "gpslng" | "gpslongitude" => Q::Longitude,
        "alt" | "altitude" | "ele" | "elevation" | "height" | "gpsalt" | "gpsaltitude" | "gnssalt" | "gnssaltitude"
        | "altmsl" | "altitudemsl" | "hmsl" | "altgps" | "altitudegps" => Q::GnssAltitude,
        "baroalt" | "baroaltitude" | "altbaro" | "altitudebaro" | "pressurealt" | "pressurealtitude" => {
            Q::PressureAltitude
        }
        "gs" | "groundspeed" | "speed" | "gpsspeed" | "gpsgroundspeed" | "sog" | "spd" | "velocity"
        | "speedoverground" => Q::GroundSpeed,
        "course" | "cog" | "track" | "bearing" | "truetrack" | "groundcourse" | "courseoverground" | "gpscourse"
        | "gpstrack" => Q::Course,
        "climb" | "climbrate" | "vario" | "vs" | "verticalspeed" | "roc" | "rateofclimb" | "vu" | "velu" => Q::Climb,
        "vd" | "veld" | "sink" | "sinkrate" => Q::Sink,
        "vn" | "veln" | "velnorth" | "northvelocity" => Q::NorthVelocity,
        "ve" | "vele" | "veleast" | "eastvelocity" => Q::EastVelocity,
        "headingtrue" | "trueheading" | "hdt" => Q::HeadingTrue,
        "headingmagnetic" | "magneticheading" | "hdm" | "compass" => Q::HeadingMagnetic,
        "tas" | "trueairspeed" => Q::TrueAirspeed,
        "ias" | "indicatedairspeed" => Q::IndicatedAirspeed,
        "rpm" | "enginerpm" | "enginespeed" => Q::EngineRpm,
        "hdop" => Q::Hdop,
        "hacc" | "horizontalaccuracy" | "accuracy" | "eph" | "horizontalerror" => Q::HorizontalError,
        "mark" | "marks" | "marker" | "event" => Q::Mark,
        _ => return None,
    })
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
            ("Time (ms)", Q::Time, Some(1e-3)),
            ("lat", Q::Latitude, None),
            ("lat_deg", Q::Latitude, Some(1.0)),
            ("Longitude [deg]", Q::Longitude, Some(1.0)),
            ("alt_m", Q::GnssAltitude, Some(1.0)),
            ("Altitude (ft)", Q::GnssAltitude, Some(0.3048)),
            ("gs_mps", Q::GroundSpeed, Some(1.0)),
            ("Ground Speed (km/h)", Q::GroundSpeed, Some(1.0 / 3.6)),
            ("speed_ms", Q::GroundSpeed, Some(1.0)),
            ("ground_speed_kt", Q::GroundSpeed, Some(1852.0 / 3600.0)),
            ("course_deg", Q::Course, Some(1.0)),
            ("vd_mps", Q::Sink, Some(1.0)),
        ] {
            assert_eq!(recognise(name), Some((quantity, factor)), "{name}");
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
            assert_eq!(recognise(name), None, "{name}");
        }
    }
}
