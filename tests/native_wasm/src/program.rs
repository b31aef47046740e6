//! Natively prints the followed clip; as WASM it is a module that Node loads.

mod node;

fn main() {
    if cfg!(not(target_arch = "wasm32")) {
        match native_wasm::exact::followed() {
            Ok(text) => print!("{text}"),
            Err(error) => eprintln!("native_wasm: {error}"),
        }
    }
}
