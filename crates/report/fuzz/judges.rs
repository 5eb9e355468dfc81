//! Documents against their published schema, pages against the rules of HTML.

use crate::held::Made;
use jsonschema::Validator;
use scraper::{Html, Node};
use std::sync::LazyLock;

static FLIGHT: LazyLock<Validator> =
    LazyLock::new(|| validator(include_str!("../../../docs/schema/flight-report-1.schema.json")));
static CAMPAIGN: LazyLock<Validator> =
    LazyLock::new(|| validator(include_str!("../../../docs/schema/campaign-report-1.schema.json")));

fn validator(schema: &str) -> Validator {
    let schema = serde_json::from_str(schema).expect("a schema is JSON");
    jsonschema::validator_for(&schema).expect("a schema")
}

/// Holds everything that a target made to schema and rules.
///
/// # Panics
/// What does not keep them.
pub fn judge(made: Vec<Made>) {
    for Made { document, page } in made {
        let schema =
            if document["schema"].as_str().is_some_and(|name| name.contains("campaign")) { &CAMPAIGN } else { &FLIGHT };
        let wrong: Vec<String> =
            schema.iter_errors(&document).map(|error| format!("{}: {error}", error.instance_path())).collect();
        assert!(wrong.is_empty(), "against the schema: {wrong:#?}");
        well_formed(&page);
    }
}

/// A page that a parser of HTML finds nothing wrong with, and that neither runs nor fetches anything.
fn well_formed(page: &str) {
    let page = Html::parse_document(page);
    assert!(page.errors.is_empty(), "malformed: {:?}", page.errors);
    for node in page.tree.values() {
        let Node::Element(element) = node else { continue };
        assert!(!matches!(element.name(), "script" | "iframe" | "object" | "embed" | "base" | "link"), "{element:?}");
        for (name, value) in element.attrs() {
            assert!(!name.starts_with("on"), "{name} of {element:?}");
            let leads = matches!(name, "href" | "src" | "action" | "formaction" | "data" | "xlink:href");
            let stays = value.starts_with('#') || value.starts_with("data:");
            assert!(!leads || stays, "{name}={value} of {element:?}");
        }
    }
}
