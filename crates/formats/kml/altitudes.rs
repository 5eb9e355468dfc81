//! What the altitudes of a track are (OGC 12-007r2, altitudeMode; without one it is clampToGround).

/// Only `absolute` is a height above the sea.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Altitudes {
    AboveSea,
    Unstated,
    ClampToGround,
    RelativeToGround,
    OfSeaFloor,
    Unknown,
}

impl Altitudes {
    pub(super) fn of(text: &str) -> Self {
        match text {
            "absolute" => Self::AboveSea,
            "" => Self::Unstated,
            "clampToGround" => Self::ClampToGround,
            "relativeToGround" => Self::RelativeToGround,
            "clampToSeaFloor" | "relativeToSeaFloor" => Self::OfSeaFloor,
            _ => Self::Unknown,
        }
    }

    /// Why they are not taken.
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::AboveSea => "they are heights above the sea",
            Self::Unstated => "the track names no altitudeMode, so they count as laid on the ground",
            Self::ClampToGround => "the track is laid on the ground (altitudeMode clampToGround)",
            Self::RelativeToGround => "they are heights above the ground (altitudeMode relativeToGround)",
            Self::OfSeaFloor => "they are heights of the sea floor (altitudeMode)",
            Self::Unknown => "the altitudeMode is none of the standard",
        }
    }
}
