//! Running the program in a folder of its own.

use assert_cmd::Command;
use std::path::{Path, PathBuf};
use std::process::Output;
use tempfile::TempDir;

/// The demo logs, with their marks files where the log itself carries no marks.
pub(crate) const DEMOS: [(&str, Option<&str>); 3] = [
    ("ridge-five-metres.igc", None),
    ("meadow-light-wind.gpx", None),
    ("lake-evening.csv", Some("lake-evening.marks.csv")),
];

/// A folder that goes away with the test, with a copy of the demo tracks in `demo-tracks/`.
pub(crate) struct Place {
    folder: TempDir,
}

/// What a run did.
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

impl Place {
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let demo = folder.path().join("demo-tracks");
        std::fs::create_dir(&demo).expect("a folder");
        for entry in std::fs::read_dir(repository().join("demo-tracks")).expect("demo tracks") {
            let from = entry.expect("an entry").path();
            if from.is_file() && !from.to_string_lossy().contains(".report.") {
                std::fs::copy(&from, demo.join(from.file_name().expect("a name"))).expect("a copy");
            }
        }
        Self { folder }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file and gives its name back.
    pub(crate) fn with<'a>(&self, name: &'a str, content: impl AsRef<[u8]>) -> &'a str {
        std::fs::write(self.path(name), content).expect("a file");
        name
    }

    pub(crate) fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    /// Names in the folder, sorted.
    pub(crate) fn names(&self) -> Vec<String> {
        let mut names: Vec<_> = std::fs::read_dir(self.folder.path())
            .expect("the folder")
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Ran {
        self.run_with_stdin(arguments, Vec::new())
    }

    pub(crate) fn run_with_stdin(&self, arguments: &[&str], stdin: Vec<u8>) -> Ran {
        let output = self.command().args(arguments).write_stdin(stdin).output().expect("the program runs");
        Ran::of(&output)
    }

    pub(crate) fn run_with_environment(&self, arguments: &[&str], environment: &[(&str, &str)]) -> Ran {
        let output =
            self.command().args(arguments).envs(environment.iter().copied()).output().expect("the program runs");
        Ran::of(&output)
    }

    pub(crate) fn command(&self) -> Command {
        let mut command = Command::new(executable());
        command.current_dir(self.folder.path()).timeout(slowed(120));
        command
    }
}

/// So many seconds, or as many times as many where the program is known to be slower than it is (`DRIFTLESS_SLOWED`, a number): when
/// it counts which of its lines run.
pub(crate) fn slowed(seconds: u64) -> std::time::Duration {
    let times = std::env::var("DRIFTLESS_SLOWED").ok().and_then(|times| times.parse().ok()).unwrap_or(1.0);
    std::time::Duration::from_secs(seconds).mul_f64(times)
}

impl Ran {
    fn of(output: &Output) -> Self {
        Self {
            code: output.status.code().expect("the program ended by itself"),
            stdout: String::from_utf8(output.stdout.clone()).expect("UTF-8 on standard output"),
            stderr: String::from_utf8(output.stderr.clone()).expect("UTF-8 on standard error"),
        }
    }

    /// Fails with everything the program said unless it ended with this code.
    #[track_caller]
    pub(crate) fn expect_code(self, code: i32) -> Self {
        assert_eq!(self.code, code, "stdout:\n{}\nstderr:\n{}", self.stdout, self.stderr);
        self
    }
}

pub(crate) fn executable() -> &'static Path {
    Path::new(env!("CARGO_BIN_EXE_driftless"))
}

pub(crate) fn repository() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// `report` on a demo log, with its marks file if it has one, and more arguments.
pub(crate) fn report_arguments<'a>(log: &'a str, marks: Option<&'a str>, more: &[&'a str]) -> Vec<&'a str> {
    let mut arguments = vec!["report", log];
    if let Some(marks) = marks {
        arguments.extend(["--marks", marks]);
    }
    arguments.extend(more);
    arguments
}
