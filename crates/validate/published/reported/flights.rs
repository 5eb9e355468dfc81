//! Figures of a flight's report.

use super::Group::{
    Circles, Drift, FlownAirspeed, FlownBank, FlownHeading, FlownTurn, FlownWind, Formats, Geodesy, LeastSquares,
    Margins, Turns,
};
use super::{Reported, row};

/// Flights against their truth, of which all figures of windows are part.
const REFERENCE: &str = "simulated_reference_flights_keep_their_figures_and_honest_intervals";
/// The same with a gyro.
const WITH_GYRO: &str = "simulated_windows_with_a_gyro_keep_what_is_wanted_and_spoiled_ones_do_not";

/// In the order of the document.
pub(super) const FLIGHT: &[Reported] = &[
    row(
        "fixes of the log",
        &["log.fixes_read", "log.fixes_used", "log.start_utc", "log.end_utc", "log.median_interval_s"],
        &[Formats],
        &["published_b_record_of_the_developers_guide", "published_rmc_and_gga_of_one_moment"],
    ),
    row(
        "wind",
        &["wind.profile[]*", "windows[].wind_speed_mps", "windows[].wind_from_deg", "windows[].wind_std_u_mps"],
        &[FlownWind, Circles, Geodesy],
        &["published_legs_of_gray_in_each_format", "published_turn_of_the_handbook_in_each_format"],
    ),
    row(
        "the set-up's rate by all its windows of a flight",
        &[
            "combined[].count",
            "combined[].steady_rate.*",
            "combined[].another_day_low95_deg_s",
            "combined[].another_day_high95_deg_s",
        ],
        &[],
        &["simulated_forty_windows_of_a_flight_are_eight_figures"],
    ),
    row(
        "flights of a log",
        &["flights[].takeoff_utc", "flights[].landing_utc"],
        &[],
        &["derived_two_flights_with_a_walk_between_and_a_drive_home_are_two"],
    ),
    row(
        "what the receiver does to positions",
        &["estimate.receiver_smoothing", "estimate.receiver_smoothing_s"],
        &[],
        &["simulated_smoothing_receivers_are_found_and_plain_ones_are_left_alone"],
    ),
    row(
        "how the estimate settled",
        &["estimate.passes", "estimate.settled"],
        &[],
        &["simulated_estimates_settle_in_few_passes_where_they_would_end"],
    ),
    row(
        "what refuses a window or leaves the wind unknown",
        &[
            "flights[].wind_observable",
            "flights[].wind_finding",
            "flights[].wind_finding.*",
            "windows[].accepted",
            "windows[].findings[]*",
            "wind.observable",
            "wind.finding",
            "wind.finding.*",
        ],
        &[],
        &[
            "derived_a_short_window_is_refused_with_its_length",
            "derived_an_unsteady_airspeed_or_climb_is_refused_with_the_figure",
            "simulated_marked_windows_are_accepted_and_measured_right",
            "simulated_windows_are_found_without_marks_and_piloted_turns_are_not",
        ],
    ),
    row(
        "compass of the log",
        &[
            "compass",
            "compass.used_in_turn_rates",
            "compass.samples",
            "compass.offset_deg",
            "compass.scatter_deg",
            "compass.stated_std_u_deg",
            "compass.own_scatter_deg",
            "compass.within95_percent",
            "compass.within95_exact_compass_percent",
            "compass.findings[]*",
        ],
        &[FlownHeading],
        &[
            "derived_circular_mean_and_scatter",
            "derived_coverage_of_known_errors",
            "simulated_compass_shows_its_offset_and_scatter",
        ],
    ),
    row(
        "start and end of a window",
        &["windows[].start_utc", "windows[].end_utc", "windows[].let_go_utc", "windows[].take_over_utc"],
        &[],
        &[
            "derived_three_time_constants_and_a_margin_are_cut",
            "derived_steady_spans_are_found_with_their_edges_and_orbits_are_not",
            "simulated_flights_without_marks_give_candidates_near_the_windows",
        ],
    ),
    row("scenario", &["windows[].scenario"], &[], &["simulated_scenarios_are_told_from_climb_and_airspeed"]),
    row(
        "turn rate, heading change",
        &["windows[].turn_rate.*", "windows[].heading_change_deg", "windows[].heading_change_std_u_deg"],
        &[FlownTurn, Margins],
        &["published_turn_of_the_handbook_in_each_format", REFERENCE],
    ),
    row("steady rate", &["windows[].steady_rate.*"], &[Margins], &[REFERENCE]),
    row(
        "turn in a minute, seconds per 90°",
        &["windows[].turn_per_minute_deg", "windows[].seconds_per_90deg"],
        &[FlownTurn, Turns],
        &["published_turn_examples", "derived_paramotor_turns"],
    ),
    row(
        "second opinion",
        &[
            "windows[].second_opinion.value_deg_s",
            "windows[].second_opinion.std_u_deg_s",
            "windows[].second_opinion.disagrees",
        ],
        &[Drift, LeastSquares],
        &[
            "derived_golden_trochoid",
            "derived_a_second_opinion_beyond_the_joint_uncertainty_disagrees",
            "simulated_intervals_cover_the_turn_rate",
        ],
    ),
    row(
        "course rate",
        &["windows[].course_rate_deg_s"],
        &[Geodesy],
        &["derived_course_rate_of_the_trochoid_misses_the_turn_rate"],
    ),
    row(
        "airspeed",
        &["windows[].airspeed_mps", "windows[].airspeed_std_u_mps"],
        &[FlownAirspeed, Circles],
        &[REFERENCE],
    ),
    row(
        "ground speed, climb, altitude, height",
        &[
            "windows[].ground_speed_mps",
            "windows[].climb_mps",
            "windows[].altitude_m",
            "windows[].height_above_takeoff_m",
        ],
        &[Formats, Geodesy],
        &["derived_figures_of_a_measured_window"],
    ),
    row(
        "bank, radius through the air, load factor",
        &["windows[].bank_deg", "windows[].air_radius_m", "windows[].load_factor"],
        &[FlownBank, Turns],
        &["published_faa_rate_and_radius_of_turn", "derived_load_factors", "derived_figures_of_a_measured_window"],
    ),
    row(
        "whether a sensor helps",
        &[
            "inertial",
            "inertial.status",
            "inertial.used_in_turn_rates",
            "inertial.gain_over_gps_alone",
            "inertial.windows[].turn_rate_gps_alone.*",
        ],
        &[Margins],
        &["simulated_gyro_brings_the_wished_figures_in_moderate_air", WITH_GYRO],
    ),
    row(
        "rate, gaps and temperature of a sensor",
        &[
            "inertial.rate_hz",
            "inertial.gaps",
            "inertial.missing_s",
            "inertial.temperature_low_c",
            "inertial.temperature_high_c",
            "inertial.temperature_start_c",
            "inertial.temperature_end_c",
            "inertial.temperature_of",
        ],
        &[],
        &["published_scales_of_temperature", "derived_jitter_is_averaged_out_and_gaps_stay"],
    ),
    row(
        "clock offset and drift",
        &[
            "inertial.clock_offset_s",
            "inertial.clock_offset_std_u_s",
            "inertial.clock_offset_at_utc",
            "inertial.clock_offset_from",
            "inertial.clock_drift_ppm",
            "inertial.clock_drift_std_u_ppm",
            "inertial.correlation",
        ],
        &[],
        &[
            "published_delays",
            "published_delay_of_a_fixed_wings_receiver_is_found",
            "simulated_clock_offsets_are_found",
            "simulated_clock_errors_are_found",
        ],
    ),
    row(
        "bias, scale and axes of a sensor",
        &[
            "inertial.gyro_bias_deg_s",
            "inertial.gyro_bias_std_u_deg_s",
            "inertial.gyro_bias_at_rest_deg_s",
            "inertial.gyro_bias_at_rest_deg_s[]",
            "inertial.gyro_bias_slope_deg_s_per_k",
            "inertial.gyro_bias_slope_deg_s_per_k[]",
            "inertial.gyro_bias_slope_std_u_deg_s_per_k",
            "inertial.gyro_bias_slope_std_u_deg_s_per_k[]",
            "inertial.scale",
            "inertial.scale_std_u",
            "inertial.down_sensor_axes[]",
            "inertial.forward_sensor_axes[]",
            "inertial.rate_difference_deg_s",
        ],
        &[],
        &[
            "derived_offset_bias_and_scale_are_found",
            "simulated_bias_scale_and_twist_are_found",
            "simulated_bias_is_found_on_the_ground_and_not_in_flight",
            "simulated_slope_of_the_bias_is_found_with_honest_uncertainty",
        ],
    ),
    row(
        "Allan deviation, random walk, bias instability",
        &[
            "inertial.allan[].tau_s",
            "inertial.allan[].adev_deg_s",
            "inertial.allan[].relative_std_u",
            "inertial.angle_random_walk_deg_per_sqrt_s",
            "inertial.bias_instability_deg_s",
            "inertial.bias_instability_tau_s",
            "inertial.bias_instability_is_upper_bound",
        ],
        &[],
        &[
            "published_ten_points",
            "published_thousand_points",
            "derived_curve_gives_its_coefficients_back",
            "simulated_random_walk_is_read_off_the_ground",
        ],
    ),
    row(
        "headings of gyro and compass against the flight's",
        &[
            "inertial.gyro_less_gps_heading_rms_deg",
            "inertial.compass_less_gps_heading_mean_deg",
            "inertial.compass_less_gps_heading_rms_deg",
            "inertial.windows[].heading_change_deg",
            "inertial.windows[].heading_change_std_u_deg",
        ],
        &[FlownHeading],
        &[
            "published_attitude_of_a_coning_turn",
            "derived_a_difference_has_mean_and_scatter",
            "simulated_measurements_add_up_to_the_turn",
        ],
    ),
    row(
        "compass of a sensor",
        &[
            "inertial.compass.consistent",
            "inertial.compass.used_in_turn_rates",
            "inertial.compass.findings[]*",
            "inertial.compass.strength_ut",
            "inertial.compass.inclination_deg",
            "inertial.compass.declination_deg",
            "inertial.compass.hard_iron_ut[]",
            "inertial.compass.spread_deg",
        ],
        &[],
        &[
            "published_world_magnetic_model_2025",
            "published_deviation_of_a_ship",
            "simulated_compass_is_calibrated_or_left_out",
            "simulated_spoiled_compass_is_told_and_changes_nothing",
        ],
    ),
    row(
        "swing, twist and the hint at the hands",
        &[
            "inertial.swing_period_s",
            "inertial.windows[].swing_rms_deg",
            "inertial.windows[].swing_period_s",
            "inertial.windows[].twist_rms_deg",
            "inertial.windows[].hands_hint",
            "inertial.windows[].hands_hint_ratio",
        ],
        &[],
        &["derived_a_sine_keeps_its_power_and_period", "simulated_swing_and_hands_are_seen"],
    ),
];
