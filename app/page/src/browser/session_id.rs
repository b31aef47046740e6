//! New ids of sessions.

use std::fmt::Write;

/// Exact: 128 bits, 32 hexadecimal digits.
const ID_BYTES: usize = 16;

/// A random id that no other session has.
#[must_use]
pub fn new_session_id() -> String {
    let mut bytes = [0_u8; ID_BYTES];
    let crypto = web_sys::window().and_then(|w| w.crypto().ok());
    let is_random = crypto.is_some_and(|c| c.get_random_values_with_u8_array(&mut bytes).is_ok());
    if !is_random {
        // Every browser has this generator. Without it the time still keeps the ids of one device apart.
        let now = js_sys::Date::now().to_bits().to_be_bytes();
        let since_start = super::clock::now_ms().to_bits().to_be_bytes();
        for (slot, byte) in bytes.iter_mut().zip(now.into_iter().chain(since_start)) {
            *slot = byte;
        }
    }
    hexadecimal(&bytes)
}

fn hexadecimal(bytes: &[u8]) -> String {
    let mut id = String::with_capacity(2 * bytes.len());
    for byte in bytes {
        // Writing to a string never fails.
        let _ = write!(id, "{byte:02x}");
    }
    id
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_has_two_lower_case_digits_a_byte() {
        assert_eq!(hexadecimal(&[0, 1, 0xab, 0xff]), "0001abff");
        assert_eq!(hexadecimal(&[7; ID_BYTES]).len(), 32);
    }
}
