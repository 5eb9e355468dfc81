//! Files of the app that are the same for everybody: style sheets and scripts.

use driftless_report::{CAMPAIGN_STYLE, NARROW_STYLE, REPORT_STYLE};
use std::borrow::Cow;

const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";

/// The file at a path below the root, with its media type; `None` where there is none.
pub fn asset(path: &str) -> Option<(&'static str, Cow<'static, [u8]>)> {
    let text = |kind, text: &'static str| Some((kind, Cow::Borrowed(text.as_bytes())));
    match path {
        "/assets/page.css" => Some((CSS, Cow::Owned(style().into_bytes()))),
        "/assets/page.js" => text(SCRIPT, include_str!("assets/page.js")),
        "/assets/plot.js" => text(SCRIPT, include_str!("assets/plot.js")),
        "/assets/host.js" => text(SCRIPT, include_str!("assets/host.js")),
        "/favicon.ico" | "/assets/icon.svg" => text("image/svg+xml", include_str!("assets/icon.svg")),
        _ => None,
    }
}

/// The style of the app: that of the reports, and what the app needs beyond it.
pub fn style() -> String {
    [REPORT_STYLE, CAMPAIGN_STYLE, NARROW_STYLE, include_str!("assets/app.css")].join("\n")
}
