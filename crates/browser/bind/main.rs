//! `driftless-bind MODULE FOLDER`: the module of the engine with the JavaScript and the types that go with it, for web pages.

use std::process::ExitCode;
use wasm_bindgen_cli_support::Bindgen;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [module, folder] = arguments.as_slice() else {
        eprintln!("usage: driftless-bind MODULE FOLDER");
        return ExitCode::from(2);
    };
    let mut bindgen = Bindgen::new();
    let bound =
        bindgen.input_path(module).typescript(true).remove_name_section(true).omit_default_module_path(false).web(true);
    match bound.and_then(|bindgen| bindgen.generate(folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{module}: {error:#}");
            ExitCode::FAILURE
        }
    }
}
