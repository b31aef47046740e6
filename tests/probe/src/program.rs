//! Natively prints the followed clip; as WASM it is a module that Node loads.

mod node;

fn main() {
    if cfg!(not(target_arch = "wasm32")) {
        match probe::exact::followed() {
            Ok(text) => print!("{text}"),
            Err(error) => eprintln!("probe: {error}"),
        }
    }
}
