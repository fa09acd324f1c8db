//! Runs the tests that `wasm-bindgen-test` compiled, in a browser: the library behind the tool of that name.

fn main() -> Result<(), Box<dyn std::error::Error + Send + Sync>> {
    wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args(std::env::args_os())?;
    Ok(())
}
