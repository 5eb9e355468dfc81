//! What speaks against a compass by its calibration alone: data with the figure and the limit. Reports turn it into words.

/// One thing for which a calibrated compass is left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CalibrationDoubt {
    /// The Earth's field of that place and date is not known, so that nothing tests the compass.
    EarthFieldUnknown,
    /// The field is not as strong as the Earth's.
    Strength {
        /// Found, µT.
        found_ut: f64,
        /// The Earth's, µT.
        earth_ut: f64,
    },
    /// The level part of the field is not as strong as the Earth's.
    LevelStrength {
        /// Found, µT.
        found_ut: f64,
        /// The Earth's, µT.
        earth_ut: f64,
    },
    /// The field does not dip as the Earth's.
    Dip {
        /// Found, degrees.
        found_deg: f64,
        /// The Earth's, degrees.
        earth_deg: f64,
    },
    /// Compass north is not where the declination has it.
    Declination {
        /// Found on this flight, degrees.
        found_deg: f64,
        /// By the model, degrees.
        earth_deg: f64,
    },
    /// Its headings differ from the flight's.
    Spread {
        /// Typical difference, degrees.
        spread_deg: f64,
        /// Largest that is taken, degrees.
        limit_deg: f64,
    },
}

impl CalibrationDoubt {
    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::EarthFieldUnknown => "earth-field-unknown",
            Self::Strength { .. } => "field-strength",
            Self::LevelStrength { .. } => "level-field-strength",
            Self::Dip { .. } => "field-dip",
            Self::Declination { .. } => "declination",
            Self::Spread { .. } => "headings-spread",
        }
    }

    /// What was found, what it was held against (a limit, or what the Earth's field is), and their unit.
    pub const fn measured(&self) -> (Option<f64>, Option<f64>, Option<&'static str>) {
        match *self {
            Self::EarthFieldUnknown => (None, None, None),
            Self::Strength { found_ut, earth_ut } | Self::LevelStrength { found_ut, earth_ut } => {
                (Some(found_ut), Some(earth_ut), Some("µT"))
            }
            Self::Dip { found_deg, earth_deg } | Self::Declination { found_deg, earth_deg } => {
                (Some(found_deg), Some(earth_deg), Some("°"))
            }
            Self::Spread { spread_deg, limit_deg } => (Some(spread_deg), Some(limit_deg), Some("°")),
        }
    }
}
