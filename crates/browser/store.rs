//! The database of the logbook in a browser: in the origin-private file system, or in memory.

#![allow(unsafe_code)]

use crate::refusal::Refusal;
use rusqlite::Connection;
use sqlite_wasm_rs::WasmOsCallback;
use sqlite_wasm_rs::vfs::VfsFilesManager;
use sqlite_wasm_rs::vfs::memvfs::MemVfsUtil;
use sqlite_wasm_rs::vfs::transfer::DbTransfer;
use sqlite_wasm_vfs::sahpool::{OpfsSAHError, OpfsSAHPoolCfgBuilder, OpfsSAHPoolUtil, install};
use wasm_bindgen::{JsCast, JsValue};

/// Name of the database, wherever it lies.
const DATABASE: &str = "logbook.sqlite";
/// Folder of the pool in the origin-private file system. An origin may carry other programs.
const FOLDER: &str = "driftless-logbook";
/// Names of the two places as SQLite knows them.
const LASTING: &str = "opfs-sahpool";
const IN_MEMORY: &str = "memvfs";
/// Files that the pool holds ready: database, journal, journal of a statement, super-journal, and as many again.
const SLOTS: usize = 8;

/// Why a place could not be had: the kind, and what the browser or the database said.
pub(crate) struct Failure {
    pub(crate) refusal: Refusal,
    pub(crate) said: String,
}

/// The lasting place of this origin.
pub(crate) async fn pool() -> Result<OpfsSAHPoolUtil, Failure> {
    let options = OpfsSAHPoolCfgBuilder::new().vfs_name(LASTING).directory(FOLDER).initial_capacity(SLOTS).build();
    install::<WasmOsCallback>(&options, false).await.map_err(|error| failure(&error))
}

/// The database in the lasting place.
pub(crate) fn open_lasting() -> Result<Connection, Failure> {
    open(LASTING)
}

/// A database in memory: a new one, or one that [`image_of_memory`] gave.
pub(crate) fn open_in_memory(image: Option<&[u8]>) -> Result<Connection, Failure> {
    if let Some(image) = image {
        memory()?
            .import_db(DATABASE, image)
            .map_err(|error| Failure { refusal: Refusal::Unreadable, said: error.to_string() })?;
    }
    open(IN_MEMORY)
}

/// The bytes of the database in memory, between two requests.
pub(crate) fn image_of_memory() -> Result<Vec<u8>, Failure> {
    memory()?.export_db(DATABASE).map_err(|error| Failure { refusal: Refusal::Unreadable, said: error.to_string() })
}

/// The bytes of the database in the lasting place, whatever they are, while it is not open.
pub(crate) fn image_of_lasting(pool: &OpfsSAHPoolUtil) -> Result<Vec<u8>, Failure> {
    pool.export_db(DATABASE).map_err(|error| failure(&error))
}

/// Removes what lies in the lasting place.
pub(crate) fn remove_lasting(pool: &OpfsSAHPoolUtil) -> Result<(), Failure> {
    pool.clear().map_err(|error| failure(&error))
}

fn open(place: &str) -> Result<Connection, Failure> {
    Connection::open_with_flags_and_vfs(DATABASE, rusqlite::OpenFlags::default(), place)
        .map_err(|error| Failure { refusal: Refusal::Unreadable, said: error.to_string() })
}

fn memory() -> Result<MemVfsUtil, Failure> {
    // SAFETY: a worker is one thread, and nothing here adds or removes kinds of files while a database is in use.
    unsafe { MemVfsUtil::get() }.map_err(|error| Failure { refusal: Refusal::NoPlace, said: error.to_string() })
}

fn failure(error: &OpfsSAHError) -> Failure {
    let refusal = match error {
        OpfsSAHError::Opfs { value, .. } => Refusal::of_exception(&name_of(value)),
        OpfsSAHError::DirectoryInUse(_) => Refusal::InUse,
        OpfsSAHError::InvalidHeader { .. } | OpfsSAHError::DuplicateFilename(_) | OpfsSAHError::NeedsRecovery => {
            Refusal::Unreadable
        }
        _ => Refusal::NoPlace,
    };
    Failure { refusal, said: error.to_string() }
}

fn name_of(exception: &JsValue) -> String {
    exception.dyn_ref::<js_sys::Error>().map(|error| String::from(error.name())).unwrap_or_else(|| {
        js_sys::Reflect::get(exception, &"name".into()).ok().and_then(|name| name.as_string()).unwrap_or_default()
    })
}
