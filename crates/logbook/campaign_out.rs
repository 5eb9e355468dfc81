//! A campaign of the logbook as the campaign that an analysis is made of.

use crate::flights::left_out;
use crate::parts::{Rows, devices, pilots, power_units, setups, wings};
use crate::runs::{StopwatchItem, WeightItem, WeightItemMeasured, WithKeys, stopwatch_runs, weight_runs};
use crate::stored::{Beside, inertial_names};
use crate::words::scenario_or_none;
use crate::{CampaignId, FlightId, Logbook, LogbookError, Result, campaigns, marks, names};
use driftless_analysis::campaign::file::{AnyFolder, read, write};
use driftless_analysis::campaign::model::{
    self, Campaign, Flight, FlownWith, KnownWeightRun, PilotId, Place, Setup, SetupId, StopwatchRun, WeightMeasured,
    WindowRef, WingId,
};
use rusqlite::{Connection, Row};

/// A campaign as an analysis wants it, and whence its flights are.
#[derive(Debug, Clone, PartialEq)]
pub struct CampaignOut {
    /// The campaign. Paths in it are those of an export.
    pub campaign: Campaign,
    /// Each flight of it in the logbook, in its order.
    pub flights: Vec<FlightId>,
    /// Flights that have no set-up or no wing yet, and so no part in it.
    pub waiting: Vec<FlightId>,
}

impl Logbook {
    /// A campaign as an analysis wants it.
    ///
    /// # Errors
    /// A campaign that is gone.
    pub fn campaign(&self, id: CampaignId) -> Result<CampaignOut> {
        read_out(&self.conn, id)
    }
}

/// Refuses a change that made a campaign one that no campaign file could say: one place knows what may be said.
pub(crate) fn accept(conn: &Connection, id: CampaignId) -> Result<()> {
    let campaign = read_out(conn, id)?.campaign;
    let Err(error) = read(&write(&campaign), "campaign", &AnyFolder) else { return Ok(()) };
    let fault = error.faults.into_iter().next();
    let why = fault.map(|fault| match fault.help {
        Some(help) => format!("{}; {help}", fault.message),
        None => fault.message,
    });
    Err(LogbookError::refused(why.unwrap_or_else(|| "this cannot be written as a campaign".to_owned())))
}

/// Where the files of a flight stand in an export, counted from its campaign file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Paths {
    pub(crate) log: String,
    pub(crate) marks: Option<String>,
    pub(crate) inertial: Vec<String>,
    pub(crate) csv_mapping: Option<String>,
}

/// Names taken so far in each folder of an export.
#[derive(Default)]
struct Folders {
    logs: names::FileNames,
    marks: names::FileNames,
    inertial: names::FileNames,
    mappings: names::FileNames,
}

impl Folders {
    fn paths(&mut self, conn: &Connection, id: FlightId, key: &str) -> Result<Paths> {
        let beside = Beside::of(conn, id)?;
        let has_marks = beside.has_given_marks() || marks::current(conn, id)?.is_some();
        let csv_mapping = beside.csv_mapping_name();
        Ok(Paths {
            log: format!("logs/{}", self.logs.unique(&beside.name)),
            marks: has_marks.then(|| format!("marks/{}", self.marks.unique(&format!("{key}.csv")))),
            inertial: inertial_names(conn, id)?
                .iter()
                .map(|name| {
                    // What ends so would be taken for the mapping of the file it is named after.
                    let ending = if name.to_lowercase().ends_with(".toml") { ".csv" } else { "" };
                    format!("imu/{}", self.inertial.unique(&format!("{name}{ending}")))
                })
                .collect(),
            csv_mapping: csv_mapping.map(|name| format!("maps/{}", self.mappings.unique(name))),
        })
    }
}

/// Parts of a campaign by row and by key.
struct Parts {
    setups: Rows<Setup>,
    wings: Rows<model::Wing>,
    pilots: Rows<model::Pilot>,
    flights: Vec<FlightId>,
}

impl Parts {
    /// What a flight was flown with, by its rows; `None` while set-up or wing are not known.
    fn flown_with(&self, row: &Row<'_>) -> Result<Option<FlownWith>> {
        let Some(setup) = self.setups.index_or_none(row.get("setup")?)? else { return Ok(None) };
        let of_setup = self.setups.items.get(setup);
        let only = || (self.wings.items.len() == 1).then_some(WingId(0));
        let wing = self.wings.index_or_none(row.get("wing")?)?.map(WingId);
        let pilot = self.pilots.index_or_none(row.get("pilot")?)?.map(PilotId);
        Ok(wing.or_else(|| of_setup.and_then(|s| s.wing)).or_else(only).map(|wing| FlownWith {
            setup: SetupId(setup),
            wing,
            pilot: pilot.or_else(|| of_setup.and_then(|s| s.pilot)),
        }))
    }

    /// What a run was flown with, by its keys.
    fn with(&self, with: &WithKeys) -> Result<FlownWith> {
        let found =
            |place: Option<usize>| place.ok_or_else(|| LogbookError::damaged("a run names a part that is gone"));
        let pilot = with.pilot.as_ref().map(|key| found(self.pilots.items.iter().position(|p| p.key == *key)));
        Ok(FlownWith {
            setup: SetupId(found(self.setups.items.iter().position(|s| s.key == with.setup))?),
            wing: WingId(found(self.wings.items.iter().position(|w| w.key == with.wing))?),
            pilot: pilot.transpose()?.map(PilotId),
        })
    }

    fn flight(&self, id: FlightId) -> Option<model::FlightId> {
        self.flights.binary_search(&id).ok().map(model::FlightId)
    }

    fn stopwatch(&self, run: StopwatchItem, place: Place) -> Result<StopwatchRun> {
        let window = |(flight, window)| Some(WindowRef { flight: self.flight(flight)?, window });
        Ok(StopwatchRun {
            with: self.with(&run.with)?,
            scenario: run.scenario,
            timing: run.timing,
            timed_by: run.timed_by,
            date: run.date,
            same_run: run.same_run.and_then(window),
            note: run.note,
            place,
        })
    }

    /// `None` for one whose flight waits.
    fn weight(&self, run: WeightItem, place: Place) -> Result<Option<KnownWeightRun>> {
        let measured = match run.measured {
            WeightItemMeasured::Log { flight, windows } => match self.flight(flight) {
                Some(flight) => WeightMeasured::Log { flight, windows },
                None => return Ok(None),
            },
            WeightItemMeasured::Stopwatch { with, scenario, timing } => {
                WeightMeasured::Stopwatch { with: self.with(&with)?, scenario, timing }
            }
        };
        Ok(Some(KnownWeightRun { weight: run.weight, measured, note: run.note, place }))
    }
}

/// Where runs of a logbook stand.
const PLACE: &str = "logbook";

pub(crate) fn read_out(conn: &Connection, id: CampaignId) -> Result<CampaignOut> {
    Ok(read_with_paths(conn, id)?.0)
}

/// A campaign, and the paths of its flights in an export, in the same order.
pub(crate) fn read_with_paths(conn: &Connection, id: CampaignId) -> Result<(CampaignOut, Vec<Paths>)> {
    let head = campaigns::read_head(conn, id)?;
    let (units, devices) = (power_units(conn, id)?, devices(conn, id)?);
    let (wings, pilots) = (wings(conn, id)?, pilots(conn, id)?);
    let setups = setups(conn, id, &units, &devices, &wings, &pilots)?;
    let mut parts = Parts { setups, wings, pilots, flights: Vec::new() };
    let (mut flights, mut all_paths, mut waiting) = (Vec::new(), Vec::new(), Vec::new());
    let mut folders = Folders::default();
    let mut statement = conn.prepare_cached("SELECT * FROM flights WHERE campaign = ?1 ORDER BY id")?;
    let mut rows = statement.query([id])?;
    while let Some(row) = rows.next()? {
        let flight: FlightId = row.get("id")?;
        // Those that wait take their names too, so that no name changes when they need not wait any more.
        let paths = folders.paths(conn, flight, &row.get::<_, String>("key")?)?;
        match parts.flown_with(row)? {
            Some(with) => {
                flights.push(read_flight(conn, row, with, &paths, flights.len() + 1)?);
                all_paths.push(paths);
                parts.flights.push(flight);
            }
            None => waiting.push(flight),
        }
    }
    let place = |line: usize| Place { file: PLACE.to_owned(), line: line + 1 };
    let stopwatch = stopwatch_runs(conn, id)?.into_iter().enumerate();
    let stopwatch_runs = stopwatch.map(|(i, (_, run))| parts.stopwatch(run, place(i))).collect::<Result<_>>()?;
    let weights = weight_runs(conn, id)?.into_iter().enumerate();
    let weight_runs = weights.map(|(i, (_, run))| parts.weight(run, place(i)).transpose());
    let campaign = Campaign {
        title: head.title,
        club: head.club,
        note: head.note,
        wished_half_width_percent: head.wished_half_width_percent,
        tolerated_turn_deg_min: head.tolerated_turn_deg_min,
        power_units: units.items,
        devices: devices.items,
        flights,
        stopwatch_runs,
        weight_runs: weight_runs.flatten().collect::<Result<_>>()?,
        scenario_weights: head.scenario_weights,
        plan: head.plan,
        setups: parts.setups.items,
        wings: parts.wings.items,
        pilots: parts.pilots.items,
    };
    Ok((CampaignOut { campaign, flights: parts.flights, waiting }, all_paths))
}

fn read_flight(conn: &Connection, row: &Row<'_>, with: FlownWith, paths: &Paths, line: usize) -> Result<Flight> {
    Ok(Flight {
        key: row.get("key")?,
        log: paths.log.clone(),
        marks: paths.marks.clone(),
        imu: paths.inertial.clone(),
        csv_map: paths.csv_mapping.clone(),
        exclude: row.get("exclude")?,
        with,
        scenario: scenario_or_none(row.get("scenario")?)?,
        take_candidates: row.get("take_candidates")?,
        leave_out: left_out(conn, row.get("id")?)?,
        temperature_c: row.get("temperature_c")?,
        qnh_hpa: row.get("qnh_hpa")?,
        altitude_note: row.get("altitude_note")?,
        note: row.get("note")?,
        line,
    })
}
