//! How far two recordings lie apart, as a pilot says it, and what may be behind that.

const MINUTE_S: f64 = 60.0;
const HOUR_S: f64 = 3600.0;
const DAY_S: f64 = 86_400.0;

/// "31 days", and the question that goes with it.
pub(super) fn words(apart_s: f64) -> String {
    let (size, question) = (apart_s.abs(), question(apart_s.abs()));
    let (number, unit) = match size {
        s if s < 10.0 * MINUTE_S => (s, "s"),
        s if s < 2.0 * HOUR_S => (s / MINUTE_S, "minutes"),
        s if s < 2.0 * DAY_S => (s / HOUR_S, "hours"),
        s => (s / DAY_S, "days"),
    };
    format!("it lies {number:.0} {unit} away by its own clock; {question}")
}

fn question(size_s: f64) -> &'static str {
    match size_s {
        s if s < 0.5 * HOUR_S => "is it from another flight?",
        // Zones go to 14 hours, and the gap between two recordings is shorter than the offset of their clocks.
        s if s < 14.0 * HOUR_S => "is it from another flight, or did one of the two write local time instead of UTC?",
        _ => "is it from another day?",
    }
}

#[cfg(test)]
mod tests {
    use super::words;

    #[test]
    fn distances_are_said_in_the_unit_that_fits() {
        for (apart_s, said) in [
            (38.0, "38 s away by its own clock; is it from another flight?"),
            (-3000.0, "50 minutes away by its own clock; is it from another flight, or did one"),
            (13_457.0, "4 hours away by its own clock; is it from another flight, or did one"),
            (2_677_457.0, "31 days away by its own clock; is it from another day?"),
        ] {
            assert!(words(apart_s).contains(said), "{}", words(apart_s));
        }
    }
}
