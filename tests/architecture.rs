//! The tables of docs/architecture.md against every `Cargo.toml`: who sees whom, arrows down only, and the reason of each
//! dependency.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use toml::Table;

type Names = BTreeSet<String>;

/// A crate as its `Cargo.toml` has it.
struct Manifest {
    /// Crates of this workspace that it is built on.
    sees: Names,
    /// The same for its tests.
    tests_see: Names,
    /// Crates of others that it is built on.
    others: Names,
    /// The same for its tests.
    tests_others: Names,
}

fn read(path: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// Names under a head of a manifest, for every platform or for one: ours without their prefix, then those of others.
fn dependencies(manifest: &Table, head: &str) -> (Names, Names) {
    let platforms = manifest.get("target").and_then(|list| list.as_table()).into_iter().flat_map(Table::values);
    let tables = platforms.filter_map(|platform| platform.as_table()).chain([manifest]);
    let names = tables.filter_map(|table| table.get(head).and_then(|list| list.as_table())).flat_map(Table::keys);
    let (ours, others): (Names, Names) = names.cloned().partition(|name| name.starts_with("driftless-"));
    (ours.iter().map(|name| name.trim_start_matches("driftless-").to_owned()).collect(), others)
}

/// Every member of the workspace by the name of its folder, and the root package as `cli`, whose code stands in `crates/cli`.
fn manifests() -> BTreeMap<String, Manifest> {
    let of = |path: &str| {
        let manifest: Table = read(path).parse().unwrap_or_else(|e| panic!("{path}: {e}"));
        let (sees, others) = dependencies(&manifest, "dependencies");
        let (tests_see, tests_others) = dependencies(&manifest, "dev-dependencies");
        (manifest, Manifest { sees, tests_see, others, tests_others })
    };
    let (root, cli) = of("Cargo.toml");
    let members = root["workspace"]["members"].as_array().expect("members");
    let mut all: BTreeMap<String, Manifest> = members
        .iter()
        .map(|member| {
            let folder = member.as_str().expect("a folder");
            let name = folder.strip_prefix("crates/").expect("crates live in crates/");
            (name.to_owned(), of(&format!("{folder}/Cargo.toml")).1)
        })
        .collect();
    all.insert("cli".to_owned(), cli);
    all
}

/// Rows of the table of the page whose head is this, cell by cell.
fn table(head: &str) -> Vec<Vec<String>> {
    let page = read("docs/architecture.md");
    let rows: Vec<Vec<String>> = page
        .lines()
        .skip_while(|line| *line != head)
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .map(|line| line.trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect())
        .collect();
    assert!(!rows.is_empty(), "docs/architecture.md has no table {head}");
    rows
}

fn in_ticks(cell: &str) -> String {
    cell.strip_prefix('`').and_then(|name| name.strip_suffix('`')).unwrap_or_else(|| panic!("{cell}")).to_owned()
}

fn list(cell: &str) -> Names {
    cell.split(',').map(str::trim).filter(|name| !name.is_empty()).map(str::to_owned).collect()
}

/// Crates from top to bottom, each with what its row says it sees.
fn crates_of_the_page() -> Vec<(String, Names)> {
    let rows = table("| crate | what it does | does not | sees |");
    rows.iter().map(|row| (in_ticks(&row[0]), list(&row[3]))).collect()
}

/// Paths between ticks that begin in a folder of the repository, wildcards and places for a name left out.
fn paths_named_in(page: &str) -> Names {
    let text = read(page);
    let named = text.split('`').skip(1).step_by(2);
    let ours = named
        .filter(|name| ["crates/", "tests/", "docs/", "fixtures/", "demo-tracks/"].iter().any(|f| name.starts_with(f)));
    ours.filter(|name| !name.contains(char::is_whitespace) && !name.contains(['{', '*']) && !name.contains("NAME"))
        .map(str::to_owned)
        .collect()
}

/// A path for new joiners is only worth its words while the files stand where it says.
#[test]
fn every_path_that_the_pages_for_developers_name_is_there() {
    let mut named = 0;
    for page in ["DEVELOPERS.md", "docs/architecture.md"] {
        for path in paths_named_in(page) {
            named += 1;
            assert!(
                Path::new(env!("CARGO_MANIFEST_DIR")).join(&path).exists(),
                "{page} names {path}, which is not there"
            );
        }
    }
    assert!(named > 25, "{named} paths: the pages were not read");
}

#[test]
fn the_page_has_every_crate_and_every_arrow() {
    let page: BTreeMap<String, Names> = crates_of_the_page().into_iter().collect();
    let code: BTreeMap<String, Names> = manifests().into_iter().map(|(name, found)| (name, found.sees)).collect();
    let names = |of: &BTreeMap<String, Names>| of.keys().cloned().collect::<Names>();
    assert_eq!(names(&page), names(&code), "rows of docs/architecture.md against members of the workspace");
    for (name, sees) in &code {
        assert_eq!(&page[name], sees, "what `{name}` sees: docs/architecture.md against its Cargo.toml");
    }
}

#[test]
fn no_arrow_points_up() {
    let order: Vec<String> = crates_of_the_page().into_iter().map(|(name, _)| name).collect();
    let place = |name: &str| order.iter().position(|n| n == name).unwrap_or_else(|| panic!("no row for `{name}`"));
    let mut arrows = 0;
    for (name, found) in manifests() {
        for below in found.sees.iter().chain(&found.tests_see) {
            arrows += 1;
            assert!(
                place(&name) < place(below),
                "`{name}` sees `{below}`, which stands above it in docs/architecture.md"
            );
        }
    }
    assert!(arrows > 40, "{arrows} arrows: the manifests were not read");
}

#[test]
fn every_dependency_has_its_place_and_reason() {
    let mut code: BTreeMap<String, Names> = BTreeMap::new();
    let mut of_tests = Names::new();
    for (name, found) in manifests() {
        for other in found.others {
            code.entry(other).or_default().insert(name.clone());
        }
        of_tests.extend(found.tests_others);
    }
    let page: BTreeMap<String, Names> =
        table("| dependency | of | why |").iter().map(|row| (in_ticks(&row[0]), list(&row[1]))).collect();
    for (name, places) in &code {
        assert_eq!(page.get(name), Some(places), "`{name}`: docs/architecture.md against the manifests");
    }
    let gone: Vec<&String> = page.keys().filter(|name| !code.contains_key(*name)).collect();
    assert!(gone.is_empty(), "docs/architecture.md gives reasons for what nothing is built on: {gone:?}");
    let alone: Names = of_tests.into_iter().filter(|name| !code.contains_key(name)).collect();
    let page_alone: Names = table("| dependency | why |").iter().map(|row| in_ticks(&row[0])).collect();
    assert_eq!(page_alone, alone, "dependencies of tests alone: docs/architecture.md against the manifests");
}

/// Who uses the fits and the estimate by themselves needs no calendar and no log format.
#[test]
fn the_wind_has_no_clock_and_no_log_behind_it() {
    let manifests = manifests();
    let lock: Table = read("Cargo.lock").parse().expect("a lock file");
    let of_others: BTreeMap<&str, Names> = lock["package"]
        .as_array()
        .expect("packages")
        .iter()
        .map(|package| {
            let needs = package.get("dependencies").and_then(|list| list.as_array()).into_iter().flatten();
            // With its version where a package stands twice.
            let names = needs.filter_map(|need| need.as_str()?.split(' ').next().map(str::to_owned));
            (package["name"].as_str().expect("a name"), names.collect())
        })
        .collect();
    let (mut behind, mut open) = (Names::new(), vec!["wind".to_owned()]);
    while let Some(name) = open.pop() {
        let next: Names = match manifests.get(&name) {
            Some(ours) => ours.sees.union(&ours.others).cloned().collect(),
            None => of_others.get(name.as_str()).cloned().unwrap_or_default(),
        };
        open.extend(next.difference(&behind).cloned().collect::<Vec<_>>());
        behind.extend(next);
    }
    assert!(behind.contains("nalgebra") && behind.contains("simba"), "the lock file was not read: {behind:?}");
    for name in ["track", "formats", "chrono", "time"] {
        assert!(!behind.contains(name), "`wind` has `{name}` behind it");
    }
}
