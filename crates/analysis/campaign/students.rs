//! The class of an instructor: each student against the class.

use super::cells::CellKey;
use super::runs::{DoublyTimed, Run};
use super::spread;
use driftless_campaign::model::{Campaign, PilotId};
use driftless_statistics::shrinkage::{AgainstClass, Class, against_class};
use driftless_track::Scenario;
use driftless_units::Estimate;
use std::collections::BTreeMap;

/// The class in one scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct ClassTable {
    /// The scenario.
    pub scenario: Scenario,
    /// The class: size of the turn, °/s.
    pub class: Class,
    /// Its students by name: a list of questions, no ranking.
    pub students: Vec<Student>,
}

/// A student in one scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct Student {
    /// Who.
    pub pilot: PilotId,
    /// What he flies.
    pub key: CellKey,
    /// Number of runs.
    pub runs: usize,
    /// Turn of his own runs, °/s, right positive.
    pub turn_deg_s: Estimate<f64>,
    /// Its size against the class.
    pub against: AgainstClass,
}

/// A student with his cell, the number of his runs and their mean.
type Mean = (PilotId, CellKey, usize, Estimate<f64>);

/// One table for each scenario in which at least two students have runs. A student who flew several set-ups in a scenario
/// is taken with the one that he flew most. His runs share the spread of all runs of the campaign.
pub(super) fn classes(campaign: &Campaign, runs: &[Run], doubly: &[DoublyTimed]) -> Vec<ClassTable> {
    let student = |run: &Run| run.pilot.filter(|pilot| campaign.pilot(*pilot).student);
    if !runs.iter().any(|run| student(run).is_some()) {
        return Vec::new();
    }
    let mut by_pilot: BTreeMap<(CellKey, Option<PilotId>), Vec<Run>> = BTreeMap::new();
    for run in runs {
        by_pilot.entry((run.key, student(run))).or_default().push(run.clone());
    }
    let cells: Vec<(CellKey, &[Run])> = by_pilot.iter().map(|((key, _), runs)| (*key, runs.as_slice())).collect();
    let Ok(turns) = spread::turns_of(&cells, doubly) else { return Vec::new() };
    let mut of_students: BTreeMap<(Scenario, PilotId), Mean> = BTreeMap::new();
    for (((key, pilot), runs), turn) in by_pilot.iter().zip(turns) {
        let Some(pilot) = pilot else { continue };
        let mean = (*pilot, *key, runs.len(), turn);
        let most = of_students.entry((key.scenario, *pilot)).or_insert(mean);
        if mean.2 > most.2 {
            *most = mean;
        }
    }
    let mut by_scenario: BTreeMap<Scenario, Vec<Mean>> = BTreeMap::new();
    for ((scenario, _), mean) in of_students {
        by_scenario.entry(scenario).or_default().push(mean);
    }
    by_scenario.into_iter().filter_map(|(scenario, students)| table(campaign, scenario, &students)).collect()
}

fn table(campaign: &Campaign, scenario: Scenario, students: &[Mean]) -> Option<ClassTable> {
    let sizes: Vec<Estimate<f64>> =
        students.iter().map(|(.., turn)| Estimate { value: turn.value.abs(), ..*turn }).collect();
    let class = against_class(&sizes).ok()?;
    let mut list: Vec<Student> = students
        .iter()
        .zip(&class.pilots)
        .map(|((pilot, key, runs, turn), against)| Student {
            pilot: *pilot,
            key: *key,
            runs: *runs,
            turn_deg_s: *turn,
            against: *against,
        })
        .collect();
    list.sort_by(|a, b| campaign.pilot(a.pilot).name.cmp(&campaign.pilot(b.pilot).name));
    Some(ClassTable { scenario, class, students: list })
}
