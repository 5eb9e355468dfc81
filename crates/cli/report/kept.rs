//! What a run had finished before it was interrupted, for the run that goes on.
//!
//! Each finished log is kept with its report under a key made of all that the report depends on: the bytes of the log, the settings,
//! the files beside it, the program itself. So nothing that is found there is ever out of date, and a run that goes on gives
//! what one that was never interrupted would have given. SQLite (`rusqlite`) holds it, so that a run may be killed at any moment.

use super::done::Done;
use super::plan::{LogPlan, Plan};
use crate::input::name_of;
use crate::{terminal, unfinished};
use anyhow::{Context, bail};
use driftless_analysis::sha256;
use flate2::Compression;
use flate2::read::DeflateDecoder;
use flate2::write::DeflateEncoder;
use rusqlite::{Connection, OptionalExtension, params};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

/// Tells these files from other databases ("DrRe").
const APPLICATION: i32 = 0x4472_5265;

/// Another run that uses the same file is waited for so long.
const PATIENCE: Duration = Duration::from_secs(10);

/// The finished logs of a run and of those before it.
pub(super) struct Kept {
    path: PathBuf,
    store: Mutex<Connection>,
    /// All that reports depend on and is the same for every log.
    settings: String,
    /// Asked for: stays when the run is through.
    stays: bool,
    /// It could not be written to, and that was said.
    full: AtomicBool,
}

impl Kept {
    /// Opens the file of the run, or makes it; `None` where nothing is to be kept.
    ///
    /// # Errors
    /// A file that is something else or cannot be used; one that an interrupted run left, where nobody asked to go on with it.
    pub(super) fn open(plan: &Plan<'_>) -> anyhow::Result<Option<Self>> {
        let Some(keep) = &plan.keep else { return Ok(None) };
        let name = name_of(&keep.path);
        if !keep.asked_for && keep.path.exists() {
            bail!(
                "an earlier run was interrupted, and {name} holds what it had finished; \
                 go on with it by --resume, or remove {name} to begin anew"
            );
        }
        let cannot = || format!("cannot keep finished logs in {name}; give another place: --resume=FILE");
        let folder = keep.path.parent().map_or(Ok(()), std::fs::create_dir_all).map_err(anyhow::Error::from);
        let store = match folder.and_then(|()| opened(&keep.path)).with_context(cannot) {
            Ok(store) => store,
            // Nobody asked for it; where the output cannot be written either, that is said when it is.
            Err(_) if !keep.asked_for => return Ok(None),
            Err(error) => return Err(error),
        };
        unfinished::say_when_stopped(Some(format!(
            "stopped; what is finished is kept in {name}, and --resume goes on"
        )));
        Ok(Some(Self {
            path: keep.path.clone(),
            store: Mutex::new(store),
            settings: settings(plan)?,
            stays: keep.asked_for,
            full: AtomicBool::new(false),
        }))
    }

    /// The key of a log: equal for the same bytes, name, settings and places.
    pub(super) fn key(&self, log: &LogPlan, bytes: &[u8]) -> String {
        let places = [&log.report, &log.gpx, &log.geojson, &log.marks];
        let of_log = format!("{:?}\n{places:?}\n{}\n{}", log.log, log.stem, sha256(bytes));
        sha256(format!("{}\n{of_log}", self.settings).as_bytes())
    }

    /// What was kept of a log, if the files that were written for it are still there.
    pub(super) fn find(&self, key: &str) -> Option<Done> {
        let store = self.store.lock().unwrap_or_else(PoisonError::into_inner);
        let row = store.query_row("SELECT done FROM finished WHERE key = ?1", [key], |row| row.get::<_, Vec<u8>>(0));
        drop(store);
        // What cannot be read is done again.
        let done: Done = serde_json::from_reader(DeflateDecoder::new(row.ok()?.as_slice())).ok()?;
        done.files.iter().all(|file| file.is_file()).then_some(done)
    }

    /// Keeps a log; what to say where that cannot be, once.
    pub(super) fn keep(&self, key: &str, done: &Done) -> Option<String> {
        let why = self.try_keep(key, done).err()?;
        let said = self.full.swap(true, Ordering::Relaxed);
        (!said).then(|| format!("finished logs cannot be kept in {}: {why:#}", name_of(&self.path)))
    }

    fn try_keep(&self, key: &str, done: &Done) -> anyhow::Result<()> {
        let mut encoder = DeflateEncoder::new(Vec::new(), Compression::fast());
        encoder.write_all(&serde_json::to_vec(done)?)?;
        let packed = encoder.finish()?;
        let store = self.store.lock().unwrap_or_else(PoisonError::into_inner);
        store.execute("INSERT OR REPLACE INTO finished (key, done) VALUES (?1, ?2)", params![key, packed])?;
        Ok(())
    }

    /// The run is through.
    pub(super) fn close(self) {
        unfinished::say_when_stopped(None);
        let store = self.store.into_inner().unwrap_or_else(PoisonError::into_inner);
        // Its own files beside it go with the connection.
        if let Err((_, why)) = store.close() {
            terminal::note(&format!("{}: {why}", name_of(&self.path)));
        }
        if !self.stays {
            // Left, it would only be refused by the next run, in words.
            let _ = std::fs::remove_file(&self.path);
        }
    }
}

fn opened(path: &Path) -> anyhow::Result<Connection> {
    let store = Connection::open(path)?;
    store.busy_timeout(PATIENCE)?;
    let tables: i64 = store
        .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
        .context("this is not a file of finished logs")?;
    if tables == 0 {
        // Once written, a log stays finished whatever becomes of the program; of a machine that loses power the last few may be lost.
        store.query_row("PRAGMA journal_mode = wal", [], |_| Ok(()))?;
        store.pragma_update(None, "application_id", APPLICATION)?;
        store.execute_batch(
            "CREATE TABLE IF NOT EXISTS finished (key TEXT PRIMARY KEY, done BLOB NOT NULL) WITHOUT ROWID",
        )?;
    }
    let application: Option<i32> = store.query_row("PRAGMA application_id", [], |row| row.get(0)).optional()?;
    if application != Some(APPLICATION) {
        bail!("this is another kind of file");
    }
    store.pragma_update(None, "synchronous", "NORMAL")?;
    Ok(store)
}

/// All that reports depend on beside the log: the program itself, since another build may come to other figures, what it was asked
/// for, and the files beside the logs.
fn settings(plan: &Plan<'_>) -> anyhow::Result<String> {
    let args = plan.args;
    let program = std::env::current_exe().and_then(std::fs::read).context("cannot read the program itself")?;
    let shown =
        format!("{:?}", (args.format, &args.units, &args.time, args.share, args.exact_place, terminal::width()));
    let places = format!("{:?}", (&args.charts, plan.several()));
    let text = |file: &Option<driftless_analysis::TextFile>| {
        file.as_ref().map(|file| (file.name.clone(), sha256(file.text.as_bytes())))
    };
    let inertial: Vec<_> = plan.inertial.iter().map(|file| (&file.name, &file.sha256, &file.mapping_toml)).collect();
    let beside = format!("{:?}", (text(&plan.marks), text(&plan.csv_mapping), inertial));
    Ok(format!("{}\n{:?}\n{shown}\n{places}\n{beside}", sha256(&program), plan.asked.config))
}
