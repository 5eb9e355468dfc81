//! From a campaign to the text of a campaign file, which [`read`](super::read) makes the same campaign of.

use super::runs::key_of_log;
use crate::model::{
    Campaign, Device, DeviceKind, EnginePoint, Flight, FlownWith, KnownWeightRun, LeftOut, Pilot, PlanWishes,
    PowerUnit, PropellerDirection, Setup, StopwatchRun, Timing, Turned, WeightMeasured, Wing,
};
use driftless_units::Scenario;
use serde::{Serialize, Serializer};
use std::collections::BTreeMap;

/// Writes a campaign as a campaign file. What the file would say by saying nothing is written out all the same, runs of
/// sheets stand in it like all others, and lines are those of the new file.
///
/// Only what [`read`](super::read) can give is sure to be read again: a name with blanks around it, say, is not.
pub fn write(campaign: &Campaign) -> String {
    let file = CampaignFile::of(campaign);
    // Texts, numbers and tables of texts: TOML has words for all of them.
    toml::to_string(&file).unwrap_or_default()
}

/// Tables by name, in their order.
struct Named<'a, T>(Vec<(&'a str, T)>);

impl<T: Serialize> Serialize for Named<'_, T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, table)| (name, table)))
    }
}

fn by_scenario<T: Copy>(values: &BTreeMap<Scenario, T>) -> Named<'static, T> {
    Named(values.iter().map(|(scenario, value)| (scenario.name(), *value)).collect())
}

/// The file, in the order in which it is written.
#[derive(Serialize)]
struct CampaignFile<'a> {
    title: &'a str,
    club: Option<&'a str>,
    note: Option<&'a str>,
    wished_half_width_percent: f64,
    tolerated_turn_deg_min: f64,
    weights: Named<'a, f64>,
    power_units: Named<'a, PowerUnitTable<'a>>,
    devices: Named<'a, DeviceTable<'a>>,
    wings: Named<'a, WingTable<'a>>,
    pilots: Named<'a, PilotTable<'a>>,
    setups: Named<'a, SetupTable<'a>>,
    plan: PlanTable,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    flights: Vec<FlightTable<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    stopwatch: Vec<StopwatchTable<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    known_weight: Vec<WeightTable<'a>>,
}

impl<'a> CampaignFile<'a> {
    fn of(campaign: &'a Campaign) -> Self {
        Self {
            title: &campaign.title,
            club: campaign.club.as_deref(),
            note: campaign.note.as_deref(),
            wished_half_width_percent: campaign.wished_half_width_percent,
            tolerated_turn_deg_min: campaign.tolerated_turn_deg_min,
            weights: by_scenario(&campaign.scenario_weights),
            power_units: Named(campaign.power_units.iter().map(|unit| (unit.key.as_str(), unit.into())).collect()),
            devices: Named(campaign.devices.iter().map(|device| (device.key.as_str(), device.into())).collect()),
            wings: Named(campaign.wings.iter().map(|wing| (wing.key.as_str(), wing.into())).collect()),
            pilots: Named(campaign.pilots.iter().map(|pilot| (pilot.key.as_str(), pilot.into())).collect()),
            setups: Named(campaign.setups.iter().map(|s| (s.key.as_str(), SetupTable::of(campaign, s))).collect()),
            plan: (&campaign.plan).into(),
            flights: campaign.flights.iter().map(|flight| FlightTable::of(campaign, flight)).collect(),
            stopwatch: campaign.stopwatch_runs.iter().map(|run| StopwatchTable::of(campaign, run)).collect(),
            known_weight: campaign.weight_runs.iter().map(|run| WeightTable::of(campaign, run)).collect(),
        }
    }
}

#[derive(Serialize)]
struct PowerUnitTable<'a> {
    name: &'a str,
    reduction_ratio: f64,
    drive_efficiency: f64,
    propeller: &'static str,
    engine: Named<'a, EngineTable>,
}

impl<'a> From<&'a PowerUnit> for PowerUnitTable<'a> {
    fn from(unit: &'a PowerUnit) -> Self {
        let engine = unit.engine.iter().map(|(scenario, point)| (scenario.name(), point.into())).collect();
        Self {
            name: &unit.name,
            reduction_ratio: unit.reduction_ratio,
            drive_efficiency: unit.drive_efficiency,
            propeller: match unit.propeller {
                PropellerDirection::Clockwise => "clockwise",
                PropellerDirection::Anticlockwise => "anticlockwise",
            },
            engine: Named(engine),
        }
    }
}

#[derive(Serialize)]
struct EngineTable {
    power_kw: f64,
    power_std_u_kw: f64,
    speed_rpm: f64,
}

impl From<&EnginePoint> for EngineTable {
    fn from(point: &EnginePoint) -> Self {
        Self { power_kw: point.power_kw, power_std_u_kw: point.power_std_u_kw, speed_rpm: point.speed_rpm }
    }
}

#[derive(Serialize)]
struct DeviceTable<'a> {
    name: &'a str,
    model: Option<&'static str>,
    setting_unit: Option<&'a str>,
    lowest_setting: Option<f64>,
    highest_setting: Option<f64>,
}

impl<'a> From<&'a Device> for DeviceTable<'a> {
    fn from(device: &'a Device) -> Self {
        Self {
            name: &device.name,
            model: device.model.map(|kind| match kind {
                DeviceKind::Constant => "constant",
                DeviceKind::Propwash => "propwash",
                DeviceKind::Mixed => "mixed",
            }),
            setting_unit: device.setting_unit.as_deref(),
            lowest_setting: device.setting_range.map(|(low, _)| low),
            highest_setting: device.setting_range.map(|(_, high)| high),
        }
    }
}

#[derive(Serialize)]
struct WingTable<'a> {
    name: &'a str,
    area_m2: Option<f64>,
    mass_kg: Option<f64>,
    class: Option<&'a str>,
}

impl<'a> From<&'a Wing> for WingTable<'a> {
    fn from(wing: &'a Wing) -> Self {
        Self { name: &wing.name, area_m2: wing.area_m2, mass_kg: wing.mass_kg, class: wing.class.as_deref() }
    }
}

#[derive(Serialize)]
struct PilotTable<'a> {
    name: &'a str,
    all_up_kg: Option<f64>,
    body_kg: Option<f64>,
    student: bool,
}

impl<'a> From<&'a Pilot> for PilotTable<'a> {
    fn from(pilot: &'a Pilot) -> Self {
        Self { name: &pilot.name, all_up_kg: pilot.all_up_kg, body_kg: pilot.body_kg, student: pilot.student }
    }
}

#[derive(Serialize)]
struct SetupTable<'a> {
    name: &'a str,
    power_unit: &'a str,
    device: Option<&'a str>,
    setting: Option<f64>,
    wing: Option<&'a str>,
    pilot: Option<&'a str>,
    baseline: Option<&'a str>,
    claimed_compensation_percent: Option<f64>,
    claimed_drift_deg_min: Option<f64>,
}

impl<'a> SetupTable<'a> {
    fn of(campaign: &'a Campaign, setup: &'a Setup) -> Self {
        let baseline = setup.baseline.map(|id| campaign.setup(id).key.as_str());
        Self {
            name: &setup.name,
            power_unit: &campaign.power_unit(setup.power_unit).key,
            device: setup.device.map(|id| campaign.device(id).key.as_str()),
            setting: setup.setting,
            wing: setup.wing.map(|id| campaign.wing(id).key.as_str()),
            pilot: setup.pilot.map(|id| campaign.pilot(id).key.as_str()),
            // One with a device that has nothing to compare with must say so.
            baseline: baseline.or_else(|| setup.device.map(|_| super::setups::NONE)),
            claimed_compensation_percent: setup.claim.compensation_percent,
            claimed_drift_deg_min: setup.claim.drift_deg_min,
        }
    }
}

#[derive(Serialize)]
struct PlanTable {
    /// TOML has no larger numbers; no reader takes one so large.
    seed: i64,
    repeats: u32,
    days: u32,
    hands_off_s: f64,
    height_low_m: f64,
    height_high_m: f64,
    abort_height_m: Option<f64>,
    wind_limit_mps: f64,
}

impl From<&PlanWishes> for PlanTable {
    fn from(plan: &PlanWishes) -> Self {
        Self {
            seed: i64::try_from(plan.seed).unwrap_or(i64::MAX),
            repeats: plan.repeats,
            days: plan.days,
            hands_off_s: plan.hands_off_s,
            height_low_m: plan.height_low_m,
            height_high_m: plan.height_high_m,
            abort_height_m: plan.abort_height_m,
            wind_limit_mps: plan.wind_limit_mps,
        }
    }
}

/// What a run was flown with.
#[derive(Serialize)]
struct WithKeys<'a> {
    setup: &'a str,
    wing: &'a str,
    pilot: Option<&'a str>,
}

impl<'a> WithKeys<'a> {
    fn of(campaign: &'a Campaign, with: FlownWith) -> Self {
        Self {
            setup: &campaign.setup(with.setup).key,
            wing: &campaign.wing(with.wing).key,
            pilot: with.pilot.map(|id| campaign.pilot(id).key.as_str()),
        }
    }
}

#[derive(Serialize)]
struct FlightTable<'a> {
    id: Option<&'a str>,
    log: &'a str,
    marks: Option<&'a str>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    imu: &'a [String],
    csv_map: Option<&'a str>,
    exclude: Option<&'a str>,
    #[serde(flatten)]
    with: WithKeys<'a>,
    scenario: Option<&'static str>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    take_candidates: bool,
    temperature_c: Option<f64>,
    qnh_hpa: Option<f64>,
    altitude_note: Option<&'a str>,
    note: Option<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    leave_out: Vec<LeftOutTable<'a>>,
}

impl<'a> FlightTable<'a> {
    fn of(campaign: &'a Campaign, flight: &'a Flight) -> Self {
        Self {
            id: (key_of_log(&flight.log) != flight.key).then_some(flight.key.as_str()),
            log: &flight.log,
            marks: flight.marks.as_deref(),
            imu: &flight.imu,
            csv_map: flight.csv_map.as_deref(),
            exclude: flight.exclude.as_deref(),
            with: WithKeys::of(campaign, flight.with),
            scenario: flight.scenario.map(Scenario::name),
            take_candidates: flight.take_candidates,
            temperature_c: flight.temperature_c,
            qnh_hpa: flight.qnh_hpa,
            altitude_note: flight.altitude_note.as_deref(),
            note: flight.note.as_deref(),
            leave_out: flight.leave_out.iter().map(Into::into).collect(),
        }
    }
}

#[derive(Serialize)]
struct LeftOutTable<'a> {
    window: u32,
    reason: &'a str,
}

impl<'a> From<&'a LeftOut> for LeftOutTable<'a> {
    fn from(left_out: &'a LeftOut) -> Self {
        Self { window: left_out.window, reason: &left_out.reason }
    }
}

/// What a stopwatch said.
#[derive(Serialize)]
struct WatchKeys<'a> {
    #[serde(flatten)]
    with: WithKeys<'a>,
    scenario: &'static str,
    degrees: f64,
    seconds: f64,
    count: u32,
    turned: &'static str,
    reading_std_u_s: f64,
    pointing_std_u_deg: f64,
}

impl<'a> WatchKeys<'a> {
    fn of(campaign: &'a Campaign, with: FlownWith, scenario: Scenario, timing: &Timing) -> Self {
        Self {
            with: WithKeys::of(campaign, with),
            scenario: scenario.name(),
            degrees: timing.degrees,
            seconds: timing.seconds,
            count: timing.count,
            turned: side(timing.turned),
            reading_std_u_s: timing.reading_std_u_s,
            pointing_std_u_deg: timing.pointing_std_u_deg,
        }
    }
}

const fn side(turned: Turned) -> &'static str {
    match turned {
        Turned::Left => "left",
        Turned::Right => "right",
    }
}

#[derive(Serialize)]
struct StopwatchTable<'a> {
    #[serde(flatten)]
    watch: WatchKeys<'a>,
    timed_by: Option<&'a str>,
    date: Option<String>,
    flight: Option<&'a str>,
    window: Option<u32>,
    note: Option<&'a str>,
}

impl<'a> StopwatchTable<'a> {
    fn of(campaign: &'a Campaign, run: &'a StopwatchRun) -> Self {
        Self {
            watch: WatchKeys::of(campaign, run.with, run.scenario, &run.timing),
            timed_by: run.timed_by.as_deref(),
            date: run.date.map(|date| date.to_string()),
            flight: run.same_run.map(|of| campaign.flight(of.flight).key.as_str()),
            window: run.same_run.map(|of| of.window),
            note: run.note.as_deref(),
        }
    }
}

#[derive(Serialize)]
struct WeightTable<'a> {
    mass_kg: f64,
    mass_std_u_kg: f64,
    arm_m: f64,
    arm_std_u_m: f64,
    side: &'static str,
    flight: Option<&'a str>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    windows: &'a [u32],
    #[serde(flatten)]
    watch: Option<WatchKeys<'a>>,
    note: Option<&'a str>,
}

impl<'a> WeightTable<'a> {
    fn of(campaign: &'a Campaign, run: &'a KnownWeightRun) -> Self {
        let (flight, windows, watch) = match &run.measured {
            WeightMeasured::Log { flight, windows } => {
                (Some(campaign.flight(*flight).key.as_str()), windows.as_slice(), None)
            }
            WeightMeasured::Stopwatch { with, scenario, timing } => {
                (None, [].as_slice(), Some(WatchKeys::of(campaign, *with, *scenario, timing)))
            }
        };
        Self {
            mass_kg: run.weight.mass_kg,
            mass_std_u_kg: run.weight.mass_std_u_kg,
            arm_m: run.weight.arm_m,
            arm_std_u_m: run.weight.arm_std_u_m,
            side: side(run.weight.side),
            flight,
            windows,
            watch,
            note: run.note.as_deref(),
        }
    }
}
