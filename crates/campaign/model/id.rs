//! Names for the parts of a campaign that cannot be mixed up with each other.

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);
    )+};
}

ids! {
    /// Which power unit of a campaign.
    PowerUnitId,
    /// Which torque device.
    DeviceId,
    /// Which wing.
    WingId,
    /// Which pilot.
    PilotId,
    /// Which set-up.
    SetupId,
    /// Which flight.
    FlightId,
}
