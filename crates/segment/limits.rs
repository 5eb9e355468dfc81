//! Every limit of this crate in one place; the defaults, and where they come from, are in the record of constants.

use crate::constants;

/// Limits for finding, trimming, naming and judging windows.
///
/// Each default is the constant of the same name in [`constants`].
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// Shortest steady span that is measured, seconds. Over 20 s a heading known to 1° at both ends gives
    /// 0.07 °/s; the yaw wander of light air (0.4 °/s over 3 s) averages down to about 0.2 °/s.
    pub min_length_s: f64,
    /// Longest time without a fix inside the steady span, seconds (or three logging intervals where that is more).
    pub max_gap_s: f64,
    /// Farthest distance from the first place of the steady span over its length, m/s: less is standing. A receiver that lies
    /// still wanders by some metres in a minute; a wing that hangs in the wind is carried about by gusts of 0.5 m/s
    /// (engineering judgement).
    pub min_ground_speed_mps: f64,
    /// Change of the turn rate from end to end of the steady span that is still called steady, °/s.
    pub max_turn_drift_deg_s: f64,
    /// Departure of a twenty-second piece of a candidate from its mean turn rate that is still called steady, °/s.
    /// Nobody vouches for a candidate, so a turn begun or ended inside it must not be averaged away.
    pub max_piece_departure_deg_s: f64,
    /// Change of airspeed from end to end that is still called steady, m/s.
    pub max_airspeed_drift_mps: f64,
    /// Scatter of the airspeed about its trend (standard deviation) that is still called steady, m/s.
    pub max_airspeed_scatter_mps: f64,
    /// Change of climb from end to end that is still called steady, m/s.
    pub max_climb_drift_mps: f64,
    /// Scatter of the climb about its trend (standard deviation) that is still called steady, m/s.
    pub max_climb_scatter_mps: f64,
    /// A drift counts only when it is this many times its own standard uncertainty.
    pub drift_significance: f64,
    /// Largest standard uncertainty of the wind per axis, m/s. At 10 m/s airspeed 1 m/s turns the heading by up
    /// to 6°, the same way at both ends when the turn is small.
    pub max_wind_std_u_mps: f64,
    /// Largest standard uncertainty of the turn rate that is still a result, °/s.
    pub max_rate_std_u_deg_s: f64,
    /// Largest turn rate held over three seconds, away from the window's mean, that turbulence alone explains, °/s.
    pub max_turn_excursion_deg_s: f64,
    /// Largest mean turn rate of a window nobody marked, °/s: faster steady turns are flown, not left alone. A full
    /// turn per minute (6 °/s) is the most that the trade reports for hands-off flight; a quarter more.
    pub max_candidate_rate_deg_s: f64,
    /// Height above take-off below which a window carries a caution, metres.
    pub caution_height_m: f64,

    /// Shortest candidate, seconds, from end to end.
    pub min_candidate_s: f64,
    /// Neighbouring pieces whose mean turn rates differ by less are one, °/s.
    pub merge_turn_deg_s: f64,
    /// Neighbouring pieces whose mean airspeeds differ by less are one, m/s.
    pub merge_airspeed_mps: f64,
    /// Neighbouring pieces whose mean climbs differ by less are one, m/s.
    pub merge_climb_mps: f64,
    /// A candidate's yaw jitter may be this many times the flight's quiet level.
    pub max_jitter_ratio: f64,
    /// Slowest airspeed of a candidate, m/s: slower is ground handling or a stall, not steady flight.
    pub min_candidate_airspeed_mps: f64,

    /// Time constant of the turn rate after let-go where the log does not show it, seconds.
    pub default_time_constant_s: f64,
    /// How many time constants are cut after let-go (three leave 5 % of the transient).
    pub time_constants: f64,
    /// Cut before take-over, seconds: the hand reaches the brake before the mark is made.
    pub take_over_margin_s: f64,

    /// Climb at or above which a window is a climb, m/s.
    pub climb_mps: f64,
    /// Climb (negative) at or below which a window is a glide, m/s.
    pub glide_mps: f64,
    /// Climb and descent up to which a window is level, m/s.
    pub level_mps: f64,
    /// Level airspeed over the flight's trim airspeed up to which a window is at trim.
    pub trim_ratio: f64,
    /// Level airspeed over the flight's trim airspeed from which a window is accelerated.
    pub accelerated_ratio: f64,
    /// Engine noise level at or above which an engine runs under load. IGC recorders are set up to read low
    /// in glides and high under power; the middle of the 0 to 999 scale parts them.
    pub engine_noise_on: f64,
    /// Engine speed over the flight's highest from which the power is called full.
    pub full_power_rpm_ratio: f64,
    /// Engine speed over the flight's highest up to which the engine is called idle or off.
    pub power_off_rpm_ratio: f64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            min_length_s: constants::MIN_LENGTH_S.value,
            max_gap_s: constants::MAX_GAP_S.value,
            min_ground_speed_mps: constants::MIN_GROUND_SPEED_MPS.value,
            max_turn_drift_deg_s: constants::MAX_TURN_DRIFT_DEG_S.value,
            max_piece_departure_deg_s: constants::MAX_PIECE_DEPARTURE_DEG_S.value,
            max_airspeed_drift_mps: constants::MAX_AIRSPEED_DRIFT_MPS.value,
            max_airspeed_scatter_mps: constants::MAX_AIRSPEED_SCATTER_MPS.value,
            max_climb_drift_mps: constants::MAX_CLIMB_DRIFT_MPS.value,
            max_climb_scatter_mps: constants::MAX_CLIMB_SCATTER_MPS.value,
            drift_significance: constants::DRIFT_SIGNIFICANCE.value,
            max_wind_std_u_mps: constants::MAX_WIND_STD_U_MPS.value,
            max_rate_std_u_deg_s: constants::MAX_RATE_STD_U_DEG_S.value,
            max_turn_excursion_deg_s: constants::MAX_TURN_EXCURSION_DEG_S.value,
            max_candidate_rate_deg_s: constants::MAX_CANDIDATE_RATE_DEG_S.value,
            caution_height_m: constants::CAUTION_HEIGHT_M.value,
            min_candidate_s: constants::MIN_CANDIDATE_S.value,
            merge_turn_deg_s: constants::MERGE_TURN_DEG_S.value,
            merge_airspeed_mps: constants::MERGE_AIRSPEED_MPS.value,
            merge_climb_mps: constants::MERGE_CLIMB_MPS.value,
            max_jitter_ratio: constants::MAX_JITTER_RATIO.value,
            min_candidate_airspeed_mps: constants::MIN_CANDIDATE_AIRSPEED_MPS.value,
            default_time_constant_s: constants::DEFAULT_TIME_CONSTANT_S.value,
            time_constants: constants::TIME_CONSTANTS.value,
            take_over_margin_s: constants::TAKE_OVER_MARGIN_S.value,
            climb_mps: constants::CLIMB_MPS.value,
            glide_mps: constants::GLIDE_MPS.value,
            level_mps: constants::LEVEL_MPS.value,
            trim_ratio: constants::TRIM_RATIO.value,
            accelerated_ratio: constants::ACCELERATED_RATIO.value,
            engine_noise_on: constants::ENGINE_NOISE_ON.value,
            full_power_rpm_ratio: constants::FULL_POWER_RPM_RATIO.value,
            power_off_rpm_ratio: constants::POWER_OFF_RPM_RATIO.value,
        }
    }
}

impl Limits {
    /// Name and value of every limit, in the order above.
    pub fn entries(&self) -> Vec<(&'static str, f64)> {
        vec![
            ("min_length_s", self.min_length_s),
            ("max_gap_s", self.max_gap_s),
            ("min_ground_speed_mps", self.min_ground_speed_mps),
            ("max_turn_drift_deg_s", self.max_turn_drift_deg_s),
            ("max_piece_departure_deg_s", self.max_piece_departure_deg_s),
            ("max_airspeed_drift_mps", self.max_airspeed_drift_mps),
            ("max_airspeed_scatter_mps", self.max_airspeed_scatter_mps),
            ("max_climb_drift_mps", self.max_climb_drift_mps),
            ("max_climb_scatter_mps", self.max_climb_scatter_mps),
            ("drift_significance", self.drift_significance),
            ("max_wind_std_u_mps", self.max_wind_std_u_mps),
            ("max_rate_std_u_deg_s", self.max_rate_std_u_deg_s),
            ("max_turn_excursion_deg_s", self.max_turn_excursion_deg_s),
            ("max_candidate_rate_deg_s", self.max_candidate_rate_deg_s),
            ("caution_height_m", self.caution_height_m),
            ("min_candidate_s", self.min_candidate_s),
            ("merge_turn_deg_s", self.merge_turn_deg_s),
            ("merge_airspeed_mps", self.merge_airspeed_mps),
            ("merge_climb_mps", self.merge_climb_mps),
            ("max_jitter_ratio", self.max_jitter_ratio),
            ("min_candidate_airspeed_mps", self.min_candidate_airspeed_mps),
            ("default_time_constant_s", self.default_time_constant_s),
            ("time_constants", self.time_constants),
            ("take_over_margin_s", self.take_over_margin_s),
            ("climb_mps", self.climb_mps),
            ("glide_mps", self.glide_mps),
            ("level_mps", self.level_mps),
            ("trim_ratio", self.trim_ratio),
            ("accelerated_ratio", self.accelerated_ratio),
            ("engine_noise_on", self.engine_noise_on),
            ("full_power_rpm_ratio", self.full_power_rpm_ratio),
            ("power_off_rpm_ratio", self.power_off_rpm_ratio),
        ]
    }
}
