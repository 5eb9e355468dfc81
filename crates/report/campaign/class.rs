//! One line for each student that joins the scenarios: what would help here may harm there. Questions for the instructor, by
//! name; never a ranking.

use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{Campaign, PilotId, SetupId, WingId};
use driftless_analysis::campaign::physics::{DeviceModel, ModelVerdict};
use driftless_analysis::campaign::{CampaignAnalysis, Student};
use driftless_display::campaign::{at, join, turn_words};
use driftless_display::{DisplayUnits, TurnSide, turn_side};

/// A student with one set-up on one wing, in all scenarios flown.
pub(crate) struct Line<'a> {
    pub(crate) pilot: PilotId,
    pub(crate) setup: SetupId,
    pub(crate) wing: WingId,
    pub(crate) turns: Vec<(Scenario, &'a Student)>,
    /// What to ask the instructor.
    pub(crate) question: String,
}

/// Every student, by name.
pub(crate) fn lines<'a>(analysis: &'a CampaignAnalysis, units: &DisplayUnits) -> Vec<Line<'a>> {
    let campaign = &analysis.campaign;
    let mut lines: Vec<Line<'a>> = Vec::new();
    for class in &analysis.classes {
        for student in &class.students {
            let turn = (class.scenario, student);
            match lines.iter_mut().find(|line| line.is_of(student)) {
                Some(line) => line.turns.push(turn),
                None => lines.push(Line {
                    pilot: student.pilot,
                    setup: student.key.setup,
                    wing: student.key.wing,
                    turns: vec![turn],
                    question: String::new(),
                }),
            }
        }
    }
    for line in &mut lines {
        line.question = question(analysis, units, (line.setup, line.wing), &line.turns);
    }
    lines.sort_by_key(|line| (&campaign.pilot(line.pilot).name, line.setup, line.wing));
    lines
}

impl Line<'_> {
    fn is_of(&self, student: &Student) -> bool {
        (self.pilot, self.setup, self.wing) == (student.pilot, student.key.setup, student.key.wing)
    }
}

/// The joined question of a student, for one of the scenarios flown.
pub(crate) fn question_of(analysis: &CampaignAnalysis, units: &DisplayUnits, student: &Student) -> String {
    let mut lines = lines(analysis, units).into_iter();
    lines.find(|line| line.is_of(student)).map(|line| line.question).unwrap_or_default()
}

/// What a turn asks for: more against the torque, or less; nothing where its direction is uncertain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wants {
    Nothing,
    More,
    Less,
}

fn wants(campaign: &Campaign, student: &Student) -> Wants {
    let reaction = campaign.power_unit(campaign.setup(student.key.setup).power_unit).propeller.reaction_sign();
    match turn_side(&driftless_display::campaign::typed(&student.turn_deg_s)) {
        TurnSide::NotTold => Wants::Nothing,
        _ if student.turn_deg_s.value * reaction > 0.0 => Wants::More,
        _ => Wants::Less,
    }
}

fn question(
    analysis: &CampaignAnalysis,
    units: &DisplayUnits,
    (setup, wing): (SetupId, WingId),
    turns: &[(Scenario, &Student)],
) -> String {
    let campaign = &analysis.campaign;
    // The largest turn of those that want the same.
    let most = |of: Wants, in_glide: bool| {
        let fit = |(scenario, student): &&(Scenario, &Student)| {
            (*scenario == Scenario::PowerOffGlide) == in_glide && wants(campaign, student) == of
        };
        let size = |(_, student): &&(Scenario, &Student)| student.turn_deg_s.value.abs();
        let found = turns.iter().filter(fit).max_by(|a, b| size(a).total_cmp(&size(b)))?;
        Some((turn_words(units, &found.1.turn_deg_s), at(found.0)))
    };
    let (more, less) = (most(Wants::More, false), most(Wants::Less, false));
    let glide = most(Wants::More, true).map(|turn| (Wants::More, turn.0));
    let glide = glide.or_else(|| most(Wants::Less, true).map(|turn| (Wants::Less, turn.0)));
    let place = |(turn, place): &(String, String)| format!("{turn} {place}");
    let Some(device) = campaign.setup(setup).device else {
        return without_device(more.as_ref().map(place), less.as_ref().map(place), glide.map(|(_, turn)| turn));
    };
    let name = &campaign.device(device).name;
    let mut on_wing = analysis.physics.devices.iter().filter(|of| of.device == device && of.wing == wing);
    let idle_in_glide = on_wing.any(|of| of.comparison.verdict == ModelVerdict::Supported(DeviceModel::Propwash));
    let under_power = match (&more, &less) {
        (Some(more), Some(less)) => {
            let glide = glide.as_ref().filter(|_| !idle_in_glide);
            let (help, harm) = match glide {
                Some((Wants::More, turn)) => (format!(" and the glide ({turn})"), String::new()),
                Some((_, turn)) => (String::new(), format!(" and the glide ({turn})")),
                None => (String::new(), String::new()),
            };
            return format!(
                "A stronger setting of the {name} would help {} ({}){help} and worsen {} ({}){harm}: which matters more?",
                bare(&more.1),
                more.0,
                bare(&less.1),
                less.0
            );
        }
        (Some(more), None) => format!("A stronger setting of the {name} would help under power ({})", place(more)),
        (None, Some(less)) => format!("A weaker setting of the {name} would help under power ({})", place(less)),
        (None, None) => String::new(),
    };
    let Some((glide_wants, turn)) = glide else {
        return match under_power.is_empty() {
            true => "No clear turn in any scenario: is there anything to change at all?".to_owned(),
            false => format!("{under_power}; the glide is straight: how far?"),
        };
    };
    if idle_in_glide {
        let first = if under_power.is_empty() { String::new() } else { format!("{under_power}. ") };
        return format!(
            "{first}The glide, in which nothing comes from the {name}, turns {turn}: is everything straight?"
        );
    }
    match (&more, &less, glide_wants) {
        (None, None, Wants::More) => {
            format!("Straight enough under power, but the glide turns {turn}: is everything straight?")
        }
        (None, None, _) => format!(
            "Straight enough under power, but the glide turns {turn}: a weaker setting of the {name}, or is the seat askew?"
        ),
        (Some(_), _, Wants::Less) => {
            format!("{under_power} and worsen the glide, already {turn}: which matters more?")
        }
        (_, Some(_), Wants::More) => {
            format!("{under_power} and worsen the glide, already {turn}: which matters more?")
        }
        _ => format!("{under_power}, and the glide too ({turn}): how far?"),
    }
}

/// "the full-power climb", without its preposition.
fn bare(place: &str) -> &str {
    place.split_once(' ').map_or(place, |(_, rest)| rest)
}

fn without_device(more: Option<String>, less: Option<String>, glide: Option<String>) -> String {
    let glide_too = glide.as_ref().map_or(String::new(), |turn| {
        format!(" The glide turns {turn}, where there is no torque: is everything straight?")
    });
    match (more, less, glide) {
        (Some(more), Some(less), _) => {
            format!("{}: what changed in between?{glide_too}", join(&[more, less]))
        }
        (Some(more), None, _) => {
            format!("Turns with the torque ({more}): would a device help, or another hang-point position?{glide_too}")
        }
        (None, Some(less), _) => format!(
            "Turns against the torque without any device ({less}): is this the set-up flown, and is everything straight?"
        ),
        (None, None, Some(turn)) => {
            format!(
                "Straight enough under power, but the glide turns {turn}: are harness and wing alike on both sides?"
            )
        }
        (None, None, None) => "No clear turn in any scenario: is there anything to change at all?".to_owned(),
    }
}
