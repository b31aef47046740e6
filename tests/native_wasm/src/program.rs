//! Natively a program that prints the tracked clip; as WASM a module for Node.

mod node;

fn main() {
    if cfg!(not(target_arch = "wasm32")) {
        match native_wasm::exact::followed() {
            Ok(text) => print!("{text}"),
            Err(error) => eprintln!("native_wasm: {error}"),
        }
    }
}
