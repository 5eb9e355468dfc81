//! The frame of every screen: bar, main part, the word of care at the end.

use crate::settings::{Paper, Settings};
use driftless_display::sentence;
use driftless_units::printable_lines;
use maud::{DOCTYPE, Markup, html};

/// Places of the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Place {
    /// Flights and dropping logs.
    Flights,
    /// Set-ups against each other.
    Compare,
    /// Set-ups, wings, pilots, power units, devices.
    Parts,
    /// Campaigns, export, import, backup.
    Logbook,
    /// Units, time, numbers, paper.
    Settings,
}

const BAR: [(Place, &str, &str); 5] = [
    (Place::Flights, "/", "Flights"),
    (Place::Compare, "/compare", "Compare"),
    (Place::Parts, "/parts", "Set-ups"),
    (Place::Logbook, "/logbook", "Logbook"),
    (Place::Settings, "/settings", "Settings"),
];

/// What was done, or why not: said above everything else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Told {
    /// Whether something went wrong.
    pub(crate) wrong: bool,
    /// Sentences, each a paragraph.
    pub(crate) words: Vec<String>,
}

/// A screen.
pub(crate) struct Screen<'a> {
    /// Title for the browser's tab.
    pub(crate) title: &'a str,
    /// Which place of the bar it belongs to.
    pub(crate) place: Option<Place>,
    /// What is to be said first.
    pub(crate) told: Vec<Told>,
    /// The screen itself, beginning with its `h1`.
    pub(crate) main: Markup,
}

impl Screen<'_> {
    /// The document.
    pub(crate) fn document(&self, settings: &Settings) -> String {
        let paper = match settings.paper {
            Paper::AsSystem => None,
            Paper::Light => Some("light"),
            Paper::Dark => Some("dark"),
        };
        let main = html! {
            @for told in &self.told { (said(told)) }
            (self.main)
        };
        let document = html! {
            (DOCTYPE)
            html lang="en" data-paper=[paper] {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    title { (self.title) " – Driftless" }
                    link rel="icon" href="/assets/icon.svg";
                    link rel="stylesheet" href="/assets/page.css";
                    script type="module" src="/assets/page.js" {}
                }
                body {
                    a.skip href="#main" { "To the content" }
                    header.bar {
                        strong { "Driftless" }
                        nav aria-label="Places" {
                            @for (place, href, words) in BAR {
                                a href=(href) aria-current=[(self.place == Some(place)).then_some("page")] { (words) }
                            }
                        }
                    }
                    main id="main" tabindex="-1" { (settings.numbers.apply(main)) }
                    footer.tail {
                        p { "Letting go of the brakes is a flight test: height, smooth air, clear airspace and a reserve come first; the maker's \
                             manual, local law and a qualified instructor decide. A turn rate describes the windows flown that day and never calls a \
                             set-up safe. Everything stays on this device." }
                    }
                }
            }
        };
        printable_lines(&document.into_string()).into_owned()
    }
}

fn said(told: &Told) -> Markup {
    html! {
        div.told.wrong[told.wrong] role=(if told.wrong { "alert" } else { "status" }) {
            @for words in &told.words { p { (words) } }
        }
    }
}

/// A page for when there is no screen to show: why, and the way back.
pub fn error_page(words: &str) -> String {
    let main = html! {
        h1 { "This cannot be shown" }
        p { a.button href="/" { "To the flights" } }
    };
    let told = vec![Told { wrong: true, words: vec![sentence(words)] }];
    Screen { title: "This cannot be shown", place: None, told, main }.document(&Settings::default())
}
