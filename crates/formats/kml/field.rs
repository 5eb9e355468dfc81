//! Elements of KML whose text is wanted.

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Field {
    /// A time of a track.
    When,
    /// A position of a track.
    Coord,
    AltitudeMode,
    /// One value of an array beside the positions.
    ArrayValue,
    /// What the schema calls an array.
    ArrayName,
    Name,
    Description,
    /// The time of a placemark.
    Stamp,
    /// Positions of a line, a point or an area.
    Coordinates,
}

impl Field {
    /// The local name of its element.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::When | Self::Stamp => "when",
            Self::Coord => "coord",
            Self::AltitudeMode => "altitudeMode",
            Self::ArrayValue => "value",
            Self::ArrayName => "displayName",
            Self::Name => "name",
            Self::Description => "description",
            Self::Coordinates => "coordinates",
        }
    }
}
