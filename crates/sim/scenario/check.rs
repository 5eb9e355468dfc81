//! Values out of range, and where in the file they stand.

use super::{Device, Gusts, Leg, PowerSetting, ReceiverFilter, Residual, Scenario};
use crate::SimError;
use chrono::Datelike;
use driftless_track::Scenario as Setting;
use toml::de::{DeTable, DeValue};

/// The first thing wrong with a scenario.
#[derive(Debug)]
pub(crate) struct Fault {
    /// Where: keys and, for arrays, indices.
    path: Vec<Step>,
    message: String,
}

#[derive(Debug, Clone)]
enum Step {
    Key(&'static str),
    Index(usize),
}

/// Years that IGC and NMEA can write: both have two digits, read as 1980 to 2079.
const YEARS: std::ops::RangeInclusive<i32> = 1980..=2079;

pub(super) type Checked = Result<(), Fault>;

impl Scenario {
    /// Checks every value for its range, and that legs ask for power settings that exist.
    pub(crate) fn check(&self) -> Checked {
        let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
        require(!self.name.is_empty() && self.name.chars().all(plain), &["name"], || {
            format!("names files, so it may hold only letters, digits, `-` and `_`, not {:?}", self.name)
        })?;
        let year = self.start_utc.year();
        require(YEARS.contains(&year), &["start_utc"], || {
            format!("is in the year {year}; it must lie between {} and {}", YEARS.start(), YEARS.end())
        })?;
        let site = &self.site;
        within(site.lat_deg, -89.0, 89.0, &["site", "lat_deg"])?;
        within(site.lon_deg, -180.0, 180.0, &["site", "lon_deg"])?;
        within(site.elevation_m, -500.0, 6000.0, &["site", "elevation_m"])?;
        within(site.heading_deg, -360.0, 360.0, &["site", "heading_deg"])?;
        within(site.start_height_m, 0.0, 6000.0, &["site", "start_height_m"])?;
        self.check_aircraft()?;
        self.check_air()?;
        self.check_sensors()?;
        within(self.output.truth_interval_s, 0.01, 60.0, &["output", "truth_interval_s"])?;
        require(self.output.igc_extra_digits <= 3, &["output", "igc_extra_digits"], || "is at most 3".into())?;
        require(!self.legs.is_empty(), &["flight"], || "needs at least one leg".into())?;
        self.legs.iter().enumerate().try_for_each(|(i, leg)| {
            self.check_leg(i, leg).map_err(|mut fault| {
                fault.path.splice(0..0, [Step::Key("flight"), Step::Index(i)]);
                fault
            })
        })
    }

    fn check_aircraft(&self) -> Checked {
        let aircraft = &self.aircraft;
        for (key, lag_s) in [
            ("airspeed_lag_s", aircraft.airspeed_lag_s),
            ("climb_lag_s", aircraft.climb_lag_s),
            ("roll_lag_s", aircraft.roll_lag_s),
            ("let_go_lag_s", aircraft.let_go_lag_s),
        ] {
            within(lag_s, 0.2, 30.0, &["aircraft", key])?;
        }
        within(aircraft.corrections_deg_s, 0.0, 10.0, &["aircraft", "corrections_deg_s"])?;
        require(!aircraft.settings.is_empty(), &["aircraft", "settings"], || "needs at least one setting".into())?;
        for (setting, values) in &aircraft.settings {
            self.check_setting(&["aircraft", "settings", setting.name()], values)?;
        }
        if let Some(porpoising) = aircraft.porpoising {
            within(porpoising.airspeed_mps, 0.0, 3.0, &["aircraft", "porpoising", "airspeed_mps"])?;
            within(porpoising.period_s, 2.0, 60.0, &["aircraft", "porpoising", "period_s"])?;
        }
        if let Some(propeller) = &aircraft.propeller {
            within(propeller.reduction_ratio, 0.2, 20.0, &["aircraft", "propeller", "reduction_ratio"])?;
            match propeller.device {
                Device::None => {}
                Device::ConstantMomentNm(nm) => within(nm, 0.0, 1000.0, &["aircraft", "propeller", "device"])?,
                Device::PropwashShare(share) => within(share, 0.0, 3.0, &["aircraft", "propeller", "device"])?,
            }
        }
        Ok(())
    }

    fn check_setting(&self, at: &[&'static str], values: &PowerSetting) -> Checked {
        within(values.airspeed_mps, 3.0, 60.0, &[at, &["airspeed_mps"]].concat())?;
        within(values.climb_mps, -10.0, 10.0, &[at, &["climb_mps"]].concat())?;
        let residual = [at, &["residual"]].concat();
        match values.residual {
            Residual::RateDegS(rate) => within(rate, -60.0, 60.0, &residual),
            Residual::Torque(point) => {
                require(self.aircraft.propeller.is_some(), &residual, || {
                    "is given by torque, which needs [aircraft.propeller]".into()
                })?;
                within(point.power_kw, 0.0, 200.0, &residual)?;
                within(point.engine_rpm, 100.0, 30_000.0, &residual)?;
                within(point.sensitivity_deg_s_per_nm, 0.0, 10.0, &residual)
            }
        }
    }

    fn check_air(&self) -> Checked {
        let air = &self.air;
        within(air.wind_mps, 0.0, 40.0, &["air", "wind_mps"])?;
        within(air.wind_from_deg, -360.0, 360.0, &["air", "wind_from_deg"])?;
        within(air.reference_height_m, 0.0, 6000.0, &["air", "reference_height_m"])?;
        within(air.shear_per_m, -0.1, 0.1, &["air", "shear_per_m"])?;
        within(air.veer_deg_per_m, -1.0, 1.0, &["air", "veer_deg_per_m"])?;
        within(air.slow_sd_mps, 0.0, 10.0, &["air", "slow_sd_mps"])?;
        within(air.slow_tau_s, 1.0, 1e6, &["air", "slow_tau_s"])?;
        match air.gusts {
            Gusts::None => {}
            Gusts::Markov { sd_mps, tau_s } => {
                within(sd_mps, 0.0, 10.0, &["air", "gusts"])?;
                within(tau_s, 0.1, 1e4, &["air", "gusts"])?;
            }
            Gusts::Dryden(dryden) => within(dryden.wind_20ft_mps, 0.0, 40.0, &["air", "gusts"])?,
        }
        within(air.yaw_wander_deg_s, 0.0, 20.0, &["air", "yaw_wander_deg_s"])?;
        within(air.yaw_wander_tau_s, 0.1, 1e4, &["air", "yaw_wander_tau_s"])?;
        for thermal in &air.thermals {
            within(thermal.east_m, -1e5, 1e5, &["air", "thermals"])?;
            within(thermal.north_m, -1e5, 1e5, &["air", "thermals"])?;
            within(thermal.strength_mps, -15.0, 15.0, &["air", "thermals"])?;
            within(thermal.radius_m, 1.0, 1e4, &["air", "thermals"])?;
        }
        for change in &air.changes {
            within(change.at_s, 0.0, 1e6, &["air", "changes"])?;
            within(change.over_s, 0.0, 1e4, &["air", "changes"])?;
            within(change.east_mps, -20.0, 20.0, &["air", "changes"])?;
            within(change.north_mps, -20.0, 20.0, &["air", "changes"])?;
        }
        Ok(())
    }

    fn check_sensors(&self) -> Checked {
        let s = &self.sensors;
        within(s.rate_hz, 0.2, 10.0, &["sensors", "rate_hz"])?;
        for (key, value, high) in [
            ("position_white_m", s.position_white_m, 100.0),
            ("position_slow_m", s.position_slow_m, 100.0),
            ("altitude_white_m", s.altitude_white_m, 100.0),
            ("altitude_slow_m", s.altitude_slow_m, 100.0),
            ("doppler_mps", s.doppler_mps.unwrap_or(0.0), 10.0),
            ("doppler_tau_s", s.doppler_tau_s, 1e4),
            ("dropouts_per_hour", s.dropouts_per_hour, 3600.0),
            ("repeat_chance", s.repeat_chance, 0.9),
            ("spike_chance", s.spike_chance, 0.5),
            ("spike_m", s.spike_m, 1e4),
            ("latency_s", s.latency_s, 5.0),
            ("position_step_arcmin", s.position_step_arcmin, 1.0),
            ("altitude_step_m", s.altitude_step_m, 100.0),
            ("mark_error_s", s.mark_error_s, 30.0),
        ] {
            within(value, 0.0, high, &["sensors", key])?;
        }
        within(s.slow_tau_s, 1.0, 1e5, &["sensors", "slow_tau_s"])?;
        within(s.dropout_s, 0.1, 600.0, &["sensors", "dropout_s"])?;
        match s.filter {
            None => {}
            Some(ReceiverFilter::LowPass(tau_s)) => within(tau_s, 0.0, 30.0, &["sensors", "filter"])?,
            Some(ReceiverFilter::AlphaBeta { alpha, beta }) => {
                within(alpha, 0.01, 1.0, &["sensors", "filter"])?;
                within(beta, 0.0, 2.0, &["sensors", "filter"])?;
            }
        }
        for pause in &s.pauses {
            within(pause.from_s, 0.0, 1e6, &["sensors", "pauses"])?;
            within(pause.to_s, pause.from_s, 1e6, &["sensors", "pauses"])?;
        }
        if let Some(pressure) = s.pressure {
            within(pressure.offset_m, -2000.0, 2000.0, &["sensors", "pressure", "offset_m"])?;
            within(pressure.white_m, 0.0, 100.0, &["sensors", "pressure", "white_m"])?;
        }
        s.imu.as_ref().map_or(Ok(()), super::check_imu::check)
    }

    fn check_leg(&self, index: usize, leg: &Leg) -> Checked {
        match *leg {
            Leg::Stand { seconds } => within(seconds, 0.0, 3600.0, &["seconds"])?,
            Leg::Drive { seconds, speed_mps, heading_deg } => {
                within(seconds, 0.0, 7200.0, &["seconds"])?;
                within(speed_mps, 0.0, 60.0, &["speed_mps"])?;
                within(heading_deg, -360.0, 360.0, &["heading_deg"])?;
            }
            Leg::Refit { ref settings } => {
                for (setting, values) in settings {
                    self.check_setting(&["settings", setting.name()], values)?;
                }
            }
            Leg::TakeOff { seconds, heading_deg } => {
                within(seconds, 1.0, 60.0, &["seconds"])?;
                within(heading_deg.unwrap_or(0.0), -360.0, 360.0, &["heading_deg"])?;
            }
            Leg::Straight { seconds, heading_deg, .. } => {
                within(seconds, 0.0, 7200.0, &["seconds"])?;
                within(heading_deg.unwrap_or(0.0), -360.0, 360.0, &["heading_deg"])?;
            }
            Leg::Turn { by_deg, rate_deg_s, .. } => {
                within(by_deg, -36_000.0, 36_000.0, &["by_deg"])?;
                within(rate_deg_s, 0.5, 60.0, &["rate_deg_s"])?;
            }
            Leg::Orbit { turns, rate_deg_s, .. } => {
                within(turns, 0.05, 100.0, &["turns"])?;
                within(rate_deg_s, 0.5, 60.0, &["rate_deg_s"])?;
            }
            Leg::FigureEight { rate_deg_s, .. } => within(rate_deg_s, 0.5, 60.0, &["rate_deg_s"])?,
            Leg::ToHeight { height_m, rate_deg_s, .. } => {
                within(height_m, 0.0, 6000.0, &["height_m"])?;
                within(rate_deg_s, -60.0, 60.0, &["rate_deg_s"])?;
            }
            Leg::HandsOff { seconds, .. } => within(seconds, 1.0, 3600.0, &["seconds"])?,
            Leg::Land => {}
        }
        let before = self.legs.get(..index).unwrap_or_default();
        let last_flown = before.iter().rev().find(|l| !l.grounded());
        let on_ground = last_flown.map_or(self.site.start_height_m == 0.0, |l| matches!(l, Leg::Land));
        let takes_off = matches!(leg, Leg::TakeOff { .. });
        require(!takes_off || on_ground, &["do"], || {
            "takes off, but the leg before it (or site.start_height_m) is in the air".into()
        })?;
        require(
            on_ground || !leg.grounded() || (last_flown.is_none() && matches!(leg, Leg::Stand { .. })),
            &["do"],
            || "is done on the ground; `land` first".into(),
        )?;
        require(!on_ground || takes_off || leg.grounded(), &["do"], || {
            "comes first on the ground; begin with `take-off` or give site.start_height_m".into()
        })?;
        let setting = leg.setting().unwrap_or(Setting::TrimLevel);
        require(leg.grounded() || self.aircraft.settings.contains_key(&setting), &[], || {
            format!("flies in {}, which [aircraft.settings] does not give", setting.name())
        })
    }
}

pub(super) fn within(value: f64, low: f64, high: f64, path: &[&'static str]) -> Checked {
    // Written so that NaN fails.
    require(value >= low && value <= high, path, || format!("is {value}; it must lie between {low} and {high}"))
}

pub(super) fn require(holds: bool, path: &[&'static str], message: impl FnOnce() -> String) -> Checked {
    if holds {
        return Ok(());
    }
    Err(Fault { path: path.iter().map(|&key| Step::Key(key)).collect(), message: message() })
}

impl Fault {
    /// As an error without a line, for a scenario built in code.
    pub(crate) fn unlocated(self) -> SimError {
        SimError::Invalid { line: None, key: self.key(), message: self.message }
    }

    /// As an error that names the line of `text` on which the value (or the nearest table that holds it) stands.
    pub(crate) fn located(self, text: &str) -> SimError {
        let line = self.byte(text).and_then(|at| text.get(..at)).map(|before| before.matches('\n').count() + 1);
        SimError::Invalid { line, key: self.key(), message: self.message }
    }

    fn key(&self) -> String {
        let mut key = String::new();
        for step in &self.path {
            match step {
                Step::Key(name) if key.is_empty() => key.push_str(name),
                Step::Key(name) => key = format!("{key}.{name}"),
                Step::Index(i) => key = format!("{key}[{i}]"),
            }
        }
        key
    }

    fn byte(&self, text: &str) -> Option<usize> {
        let document = DeTable::parse(text).ok()?;
        let root = DeValue::Table(document.into_inner());
        let (mut here, mut at) = (&root, None);
        for step in &self.path {
            let next = match step {
                Step::Key(name) => here.get(*name),
                Step::Index(i) => here.get(*i),
            };
            let Some(next) = next else { break };
            at = Some(next.span().start);
            here = next.get_ref();
        }
        at
    }
}
