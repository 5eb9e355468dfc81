//! From the description of a campaign to the scenario of each flight.

use super::description::{Day, Description, Sortie, WingPoint};
use crate::SimError;
use crate::noise::{Source, Stream};
use crate::scenario::{
    Air, Aircraft, Device, Direction, Format, Leg, Output, PowerSetting, Propeller, Residual, Scenario, Sensors, Site,
    TorquePoint,
};
use crate::torque::residual_moment_nm;
use chrono::TimeDelta;
use driftless_track::Scenario as Setting;
use driftless_units::{GRAVITY_MPS2, TurnRate};
use std::collections::BTreeMap;

/// Minutes from one start to the next on the same day.
const BETWEEN_STARTS_MIN: i64 = 35;

impl Description {
    /// The scenario of every flight, in the order of the description.
    ///
    /// # Errors
    /// [`SimError::Invalid`] when a sortie names a day, set-up or wing that is not described, or hangs a weight beside
    /// a torque device.
    pub fn scenarios(&self) -> Result<Vec<Scenario>, SimError> {
        let mut starts: BTreeMap<&str, i64> = BTreeMap::new();
        let mut variation = Stream::new(self.seed, Source::Campaign);
        self.sorties
            .iter()
            .enumerate()
            .map(|(i, sortie)| {
                let nth = starts.entry(sortie.day.as_str()).or_insert(0);
                *nth += 1;
                self.scenario(i, sortie, *nth - 1, &mut variation)
            })
            .collect()
    }

    /// The residual turn of a set-up on a wing as described: the mean over all days.
    pub fn true_turn(&self, setup: &str, wing: &str, setting: Setting) -> Option<TurnRate> {
        let propeller = self.propeller(*self.setups.get(setup)?);
        let point = self.torque_point(setting, *self.wings.get(wing)?.get(&setting)?, 1.0)?;
        Some(TurnRate::from_deg_s(point.sensitivity_deg_s_per_nm * residual_moment_nm(&propeller, &point)))
    }

    const fn propeller(&self, device: Device) -> Propeller {
        Propeller { clockwise_from_behind: self.clockwise_from_behind, reduction_ratio: self.reduction_ratio, device }
    }

    fn torque_point(&self, setting: Setting, wing: WingPoint, factor: f64) -> Option<TorquePoint> {
        let engine = self.engine.get(&setting)?;
        Some(TorquePoint {
            power_kw: engine.power_kw,
            engine_rpm: engine.engine_rpm,
            // Few enough digits to be read in the file.
            sensitivity_deg_s_per_nm: (wing.sensitivity_deg_s_per_nm * factor * 1e5).round() / 1e5,
        })
    }

    fn scenario(&self, i: usize, sortie: &Sortie, nth: i64, variation: &mut Stream) -> Result<Scenario, SimError> {
        let invalid =
            |key: &str, message: String| SimError::Invalid { line: None, key: format!("sorties[{i}].{key}"), message };
        let day = self.days.get(&sortie.day).ok_or_else(|| invalid("day", "is not described".into()))?;
        let wing = self.wings.get(&sortie.wing).ok_or_else(|| invalid("wing", "is not described".into()))?;
        let device = *self.setups.get(&sortie.setup).ok_or_else(|| invalid("setup", "is not described".into()))?;
        let device = match (sortie.weight, device) {
            (None, device) => device,
            (Some(weight), Device::None) => Device::ConstantMomentNm(weight.mass_kg * weight.arm_m * GRAVITY_MPS2),
            (Some(_), _) => return Err(invalid("weight", "needs a set-up without torque device".into())),
        };
        let factor = 1.0 + self.between_run_share * variation.normal();
        let mut settings = BTreeMap::new();
        for (&setting, &point) in wing {
            let torque = self
                .torque_point(setting, point, factor)
                .ok_or_else(|| invalid("wing", format!("has {}, which the engine lacks", setting.name())))?;
            let residual = Residual::Torque(torque);
            settings.insert(
                setting,
                PowerSetting { airspeed_mps: point.airspeed_mps, climb_mps: point.climb_mps, residual },
            );
        }
        Ok(Scenario {
            name: sortie.name.clone(),
            note: "Made from the description of its campaign; see README.md.".to_owned(),
            setup: sortie.setup.clone(),
            seed: self.seed + 1 + i as u64,
            // A day at the end of the calendar is refused with the scenario.
            start_utc: day
                .first_start_utc
                .checked_add_signed(TimeDelta::minutes(nth * BETWEEN_STARTS_MIN))
                .unwrap_or(day.first_start_utc),
            site: Site { heading_deg: day.wind_from_deg, ..self.site.clone() },
            aircraft: aircraft(self.propeller(device), settings),
            air: air(day),
            sensors: Sensors { doppler_mps: Some(0.15), mark_error_s: 0.3, ..Sensors::default() },
            output: Output { formats: vec![Format::Igc], truth_interval_s: 30.0, ..Output::default() },
            legs: legs(variation),
        })
    }
}

fn aircraft(propeller: Propeller, settings: BTreeMap<Setting, PowerSetting>) -> Aircraft {
    Aircraft {
        airspeed_lag_s: 2.5,
        climb_lag_s: 2.0,
        roll_lag_s: 1.0,
        let_go_lag_s: 2.5,
        corrections_deg_s: 0.8,
        porpoising: None,
        propeller: Some(propeller),
        settings,
    }
}

fn air(day: &Day) -> Air {
    Air {
        wind_mps: day.wind_mps,
        wind_from_deg: day.wind_from_deg,
        reference_height_m: 300.0,
        shear_per_m: 0.002,
        veer_deg_per_m: 0.03,
        slow_sd_mps: 0.3,
        slow_tau_s: 600.0,
        gusts: day.gusts,
        yaw_wander_deg_s: day.yaw_wander_deg_s,
        yaw_wander_tau_s: 3.0,
        thermals: Vec::new(),
        changes: Vec::new(),
    }
}

/// The plan of every flight: a climb, a circle each way, one window in each power setting, and down.
fn legs(variation: &mut Stream) -> Vec<Leg> {
    let mut heading = || Some((variation.between(0.0, 36.0)).floor() * 10.0);
    let straight = |seconds, setting, heading_deg| Leg::Straight { seconds, setting, heading_deg };
    let orbit = |direction| Leg::Orbit { turns: 1.0, direction, rate_deg_s: 9.0, setting: None };
    let mut legs = vec![
        Leg::Stand { seconds: 20.0 },
        Leg::TakeOff { seconds: 7.0, heading_deg: None },
        straight(25.0, Some(Setting::FullPowerClimb), None),
        Leg::ToHeight { height_m: 330.0, setting: Setting::FullPowerClimb, rate_deg_s: 3.0 },
        straight(20.0, Some(Setting::TrimLevel), None),
        orbit(Direction::Left),
        straight(10.0, None, None),
        orbit(Direction::Right),
    ];
    let windows = [
        (Setting::TrimLevel, 60.0),
        (Setting::AcceleratedLevel, 60.0),
        (Setting::FullPowerClimb, 55.0),
        (Setting::PowerOffGlide, 60.0),
    ];
    for (setting, seconds) in windows {
        legs.push(straight(25.0, Some(setting), heading()));
        legs.push(Leg::HandsOff { seconds, setting: None });
    }
    legs.extend([
        Leg::ToHeight { height_m: 90.0, setting: Setting::PowerOffGlide, rate_deg_s: -5.0 },
        straight(12.0, None, None),
        Leg::Land,
        Leg::Stand { seconds: 20.0 },
    ]);
    legs
}
