//! Files that were dropped together: which log each belongs to.
//!
//! Inertial files and marks go to the log that was flown at their time; those without a date to the only log there is, or to
//! the one whose name they bear. A mapping goes to the file whose name it bears (`phone.csv.toml` to `phone.csv`).

use crate::failure::Failure;
use driftless_analysis::{Asked, DroppedKind, FlightFiles, InertialFile, TextFile, Times, dropped_kind};

/// A file as dropped.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Dropped<'a> {
    /// Its name, with folders where a folder was dropped.
    pub(crate) name: &'a str,
    /// Its bytes.
    pub(crate) bytes: &'a [u8],
}

/// What was made of them.
#[derive(Debug, Default)]
pub(crate) struct Sorted<'a> {
    /// Flights, each with what belongs to it.
    pub(crate) flights: Vec<FlightFiles<'a>>,
    /// ZIP files.
    pub(crate) archives: Vec<Dropped<'a>>,
    /// Marks and inertial files whose log is not here.
    pub(crate) alone: Vec<(String, Beside)>,
    /// What cannot be used, and why.
    pub(crate) faults: Vec<Failure>,
}

/// A file beside a log.
#[derive(Debug, Clone)]
pub(crate) enum Beside {
    /// Marks.
    Marks(TextFile),
    /// Inertial data.
    Inertial(InertialFile),
}

/// A log and when it was flown.
struct Flown<'a> {
    files: FlightFiles<'a>,
    times: Times,
}

/// Sorts them. `progress` is told of each file as it is read.
pub(crate) fn sort<'a>(dropped: &[Dropped<'a>], asked: &Asked, progress: &mut dyn FnMut(&str)) -> Sorted<'a> {
    let mut sorted = Sorted::default();
    let mut flown: Vec<Flown<'a>> = Vec::new();
    let mut beside: Vec<(String, Option<Times>, Beside)> = Vec::new();
    for (i, file) in dropped.iter().enumerate() {
        progress(&format!("Reading {} ({} of {})", bare(file.name), i + 1, dropped.len()));
        let mapping = mapping_of(file, dropped);
        let name = bare(file.name).to_owned();
        match dropped_kind(&name, file.bytes, mapping.as_deref(), asked) {
            Ok(DroppedKind::Log(times)) => {
                let csv_mapping = mapping.map(|text| TextFile { name: format!("{name}.toml"), text });
                flown.push(Flown {
                    files: FlightFiles { name, log: file.bytes, csv_mapping, ..FlightFiles::default() },
                    times,
                });
            }
            Ok(DroppedKind::Inertial(times)) => {
                beside.push((
                    name.clone(),
                    times,
                    Beside::Inertial(InertialFile::new(name, file.bytes.to_vec(), mapping)),
                ));
            }
            Ok(DroppedKind::Marks(times)) => {
                let text = String::from_utf8_lossy(file.bytes).into_owned();
                beside.push((name.clone(), times, Beside::Marks(TextFile { name, text })));
            }
            // Taken with the file whose name it bears.
            Ok(DroppedKind::Mapping) => {}
            // With a campaign nothing is sorted: its file says what belongs where.
            Ok(DroppedKind::Campaign) => {
                sorted
                    .faults
                    .push(Failure::asked(format!("{name} is a campaign; give it with its logs on the screen Logbook")));
            }
            Ok(DroppedKind::Archive) => sorted.archives.push(*file),
            Err(fault) => sorted.faults.push(Failure::Dropped { name, fault }),
        }
    }
    for (name, times, file) in beside {
        match log_of(&name, times.as_ref(), &mut flown) {
            Some(flight) => add(flight, file),
            None => sorted.alone.push((name, file)),
        }
    }
    sorted.flights = flown.into_iter().map(|flown| flown.files).collect();
    sorted
}

fn add(flight: &mut FlightFiles<'_>, file: Beside) {
    match file {
        Beside::Marks(marks) => flight.marks = Some(marks),
        Beside::Inertial(file) => flight.inertial.push(file),
    }
}

/// The log that a file belongs to: that which was flown longest within its times, else by name, else the only one.
fn log_of<'f, 'a>(name: &str, times: Option<&Times>, flown: &'f mut [Flown<'a>]) -> Option<&'f mut FlightFiles<'a>> {
    let overlap = |log: &Times, times: &Times| *log.end().min(times.end()) - *log.start().max(times.start());
    let by_time = times.and_then(|times| {
        let overlaps = flown.iter().enumerate().map(|(i, log)| (overlap(&log.times, times), i));
        overlaps.filter(|(overlap, _)| overlap.num_milliseconds() > 0).max().map(|(_, i)| i)
    });
    let by_name = || flown.iter().position(|log| stem(&log.files.name) == stem(name));
    // A file with a date that fits no log is not laid on one because it is the only one.
    let only = || (flown.len() == 1 && times.is_none()).then_some(0);
    let at = by_time.or_else(|| if times.is_none() { by_name() } else { None }).or_else(only)?;
    flown.get_mut(at).map(|log| &mut log.files)
}

/// The text of the mapping that bears a file's name.
fn mapping_of(file: &Dropped<'_>, dropped: &[Dropped<'_>]) -> Option<String> {
    let plain = file.name.strip_suffix(".gz").unwrap_or(file.name);
    let names = [format!("{}.toml", file.name), format!("{plain}.toml")];
    let found = dropped.iter().find(|other| names.iter().any(|name| name == other.name))?;
    String::from_utf8(found.bytes.to_vec()).ok()
}

/// A name without its folders.
pub(crate) fn bare(name: &str) -> &str {
    name.rsplit(['/', '\\']).next().unwrap_or(name)
}

/// What stands before the first point of a name: "evening" of "evening.marks.csv".
fn stem(name: &str) -> &str {
    name.split('.').next().unwrap_or(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MORNING: &[u8] = b"time,lat,lon\n2026-05-01T06:00:00Z,47,11\n2026-05-01T06:10:00Z,47,11.001\n";
    const EVENING: &[u8] = b"time,lat,lon\n2026-05-01T18:00:00Z,47,11\n2026-05-01T18:10:00Z,47,11.001\n";
    const MARKS: &[u8] = b"let_go,take_over\n2026-05-01T18:01:00Z,2026-05-01T18:02:00Z\n";
    const SECONDS: &[u8] = b"let_go,take_over\n60,120\n";

    /// A minute of a gyro that began before the first log.
    fn gyro() -> Vec<u8> {
        let row = |s: usize| format!("2026-05-01T06:00:{s:02}Z,0.1,0,0.{s},0,0,9.8\n");
        let head = "time,gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s,accel_x_mps2,accel_y_mps2,accel_z_mps2\n";
        std::iter::once(head.to_owned()).chain((0..60).map(row)).collect::<String>().into_bytes()
    }

    fn sorted<'a>(files: &[(&'a str, &'a [u8])]) -> Sorted<'a> {
        let dropped: Vec<Dropped<'a>> = files.iter().map(|(name, bytes)| Dropped { name, bytes }).collect();
        sort(&dropped, &Asked::default(), &mut |_| ())
    }

    #[test]
    fn files_find_their_log_by_time() {
        let gyro = gyro();
        let sorted =
            sorted(&[("marks.csv", MARKS), ("a/one.csv", MORNING), ("gyro.csv", &gyro), ("a/two.csv", EVENING)]);
        assert!(sorted.faults.is_empty() && sorted.alone.is_empty(), "{:?}", sorted.faults);
        let [one, two] = sorted.flights.as_slice() else { panic!("two flights") };
        assert_eq!((one.name.as_str(), one.marks.is_some(), one.inertial.len()), ("one.csv", false, 1));
        assert_eq!((two.name.as_str(), two.marks.is_some(), two.inertial.len()), ("two.csv", true, 0));
    }

    #[test]
    fn marks_in_seconds_go_by_name_or_to_the_only_log() {
        let by_name = sorted(&[("one.csv", MORNING), ("two.csv", EVENING), ("two.marks.csv", SECONDS)]);
        assert!(by_name.flights[0].marks.is_none() && by_name.flights[1].marks.is_some());
        let only = sorted(&[("one.csv", MORNING), ("watch.csv", SECONDS)]);
        assert!(only.flights[0].marks.is_some());
        let nobody_knows = sorted(&[("one.csv", MORNING), ("two.csv", EVENING), ("watch.csv", SECONDS)]);
        assert_eq!(nobody_knows.alone.len(), 1);
    }

    #[test]
    fn marks_of_another_day_are_not_laid_on_the_only_log() {
        let sorted = sorted(&[("one.csv", MORNING), ("one.marks.csv", MARKS)]);
        assert!(sorted.flights[0].marks.is_none());
        assert_eq!(sorted.alone.len(), 1);
    }

    #[test]
    fn one_wrong_file_does_not_stop_the_others() {
        let sorted = sorted(&[("letter.txt", b"dear diary"), ("one.csv", MORNING)]);
        assert_eq!((sorted.flights.len(), sorted.faults.len()), (1, 1));
    }
}
