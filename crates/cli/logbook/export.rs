//! `driftless logbook export`: a campaign as a folder, or as one ZIP file.

use super::{choose, open_read_only};
use crate::args::LogbookExportArgs;
use crate::input::{self, is_dash};
use crate::outcome::Outcome;
use crate::output::{Place, refuse_clashes, to_stdout};
use crate::terminal;
use anyhow::bail;
use driftless_logbook::archive::pack;
use std::path::Path;

pub(super) fn run(args: &LogbookExportArgs) -> anyhow::Result<Outcome> {
    if is_dash(&args.place) {
        bail!("a campaign is many files; name a folder, or a file that ends in .zip");
    }
    let place = Place::File(args.place.clone());
    refuse_clashes([&place], [args.file.logbook.as_path()])?;
    let logbook = open_read_only(&args.file.logbook)?;
    let campaign = choose::campaign(&logbook, args.campaign.as_deref())?;
    let exported = logbook.export_campaign(campaign.id)?;
    if super::import::is_archive(&args.place) {
        let files = exported.files.iter().map(|(path, bytes)| (path.as_str(), bytes.as_slice()));
        place.write(&pack(files)?)?;
    } else {
        to_folder(&args.place, &exported.files)?;
    }
    let waiting = exported.waiting.len();
    if waiting > 0 {
        let words = if waiting == 1 { "flight is" } else { "flights are" };
        terminal::note(&format!("{waiting} {words} not in it: set-up or wing are not said yet"));
    }
    to_stdout(format!("{}: {} files\n", input::name_of(&args.place), exported.files.len()).as_bytes())?;
    Ok(Outcome::Made)
}

fn to_folder(folder: &Path, files: &[(String, Vec<u8>)]) -> anyhow::Result<()> {
    // Hours of somebody's writing may stand in them.
    for (path, _) in files {
        let path = folder.join(path);
        if path.exists() {
            bail!("{} is there already; name another folder, or a file that ends in .zip", input::name_of(&path));
        }
    }
    // The campaign file last: where it stands, all that it names stands.
    for (path, bytes) in files.iter().rev() {
        Place::File(folder.join(path)).write(bytes)?;
    }
    Ok(())
}
