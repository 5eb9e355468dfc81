//! Any text as a marks file.
#![no_main]

libfuzzer_sys::fuzz_target!(|text: &str| {
    driftless_report_fuzz::report(driftless_report_fuzz::LOG, Some(text), None, None);
    driftless_report_fuzz::report(
        driftless_report_fuzz::LOG,
        Some(&format!("let_go,take_over,scenario,setup,note\n{text}")),
        None,
        None,
    );
});
