//! On macOS a module leaves Python's symbols open only when the linker is told so; elsewhere nothing is needed.

fn main() {
    pyo3_build_config::add_extension_module_link_args();
}
