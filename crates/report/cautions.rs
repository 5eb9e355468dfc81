//! The usual cautions: on every report, because letting go of the brakes is a flight test.

/// What a pilot should have read before acting on a report.
pub(crate) const CAUTIONS: [&str; 7] = [
    "Letting go of the brakes is a flight test: only with height in hand, in smooth air and clear airspace, with a \
     reserve, and never alone.",
    "Change one thing at a time, and only a little.",
    "Sudden full power can twist the risers and swing the aircraft against the torque: open the throttle gradually.",
    "A figure here describes the windows flown, with this wing, pilot and loading, on that day. It does not call a \
     set-up safe.",
    "A candidate window is not a proof that the hands were off.",
    "The makers' manuals and the law of the place come first.",
    "A qualified instructor or test pilot decides what is flown next.",
];
