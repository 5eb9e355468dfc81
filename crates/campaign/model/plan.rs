//! What the next flights should be like.

/// Wishes for the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanWishes {
    /// Seed of the random order.
    pub seed: u64,
    /// Runs of every cell that the plan should reach, those flown included.
    pub repeats: u32,
    /// Days over which repeats are spread.
    pub days: u32,
    /// Hands-off time of each run, seconds.
    pub hands_off_s: f64,
    /// Lower edge of the height band, metres above the take-off place.
    pub height_low_m: f64,
    /// Upper edge, metres above the take-off place.
    pub height_high_m: f64,
    /// Height at which a run is broken off, metres above the take-off place; `None` where nobody has set one: whoever flies
    /// the card writes it in.
    pub abort_height_m: Option<f64>,
    /// Strongest wind, m/s.
    pub wind_limit_mps: f64,
}

impl Default for PlanWishes {
    /// Common practice of flight test with small aircraft, no source. The height for breaking off is for the pilot and the
    /// instructor to set: it hangs on the place.
    fn default() -> Self {
        Self {
            seed: 1,
            repeats: 3,
            days: 2,
            hands_off_s: 60.0,
            height_low_m: 300.0,
            height_high_m: 450.0,
            abort_height_m: None,
            wind_limit_mps: 5.0,
        }
    }
}
