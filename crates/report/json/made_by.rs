//! How a document was made: the same in every one.

use driftless_analysis::MadeBy;
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

/// The key `made_by`.
#[derive(Serialize)]
pub(crate) struct MadeByEntry<'a> {
    version: &'a str,
    command: &'a str,
    input_sha256: &'a str,
    #[serde(serialize_with = "as_map")]
    config: &'a [(String, String)],
}

impl<'a> MadeByEntry<'a> {
    pub(crate) fn of(made_by: &'a MadeBy) -> Self {
        Self {
            version: &made_by.version,
            command: &made_by.command,
            input_sha256: &made_by.input_sha256,
            config: &made_by.config,
        }
    }
}

fn as_map<S: Serializer>(pairs: &[(String, String)], serializer: S) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(Some(pairs.len()))?;
    for (name, value) in pairs {
        map.serialize_entry(name, value)?;
    }
    map.end()
}
