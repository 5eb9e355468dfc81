//! Writes the scenario files, logs and timed runs of a simulated campaign beside its description:
//! `cargo run --release -p driftless-sim --example derive_campaign -- demo-tracks/campaign/description.toml`.

use driftless_sim::campaign::Description;
use std::error::Error;
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn Error>> {
    let path = PathBuf::from(std::env::args().nth(1).ok_or("name the description")?);
    let folder = path.parent().ok_or("the description stands in no folder")?;
    let files = Description::from_toml(&std::fs::read_to_string(&path)?)?.files()?;
    std::fs::create_dir_all(folder.join("scenarios"))?;
    for (name, content) in &files.scenarios {
        std::fs::write(folder.join("scenarios").join(name), content)?;
    }
    std::fs::create_dir_all(folder.join("logs"))?;
    for (name, content) in &files.logs {
        std::fs::write(folder.join("logs").join(name), content)?;
    }
    std::fs::write(folder.join(&files.sheet.0), &files.sheet.1)?;
    Ok(())
}
