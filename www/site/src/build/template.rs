//! Fills the placeholders in the files of the shell: `@NAME@` becomes the value of `NAME`.

use crate::SiteError;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// The values by the name of their placeholder.
pub type Placeholders = BTreeMap<&'static str, String>;

/// A file of the shell with every placeholder replaced.
///
/// # Errors
/// [`SiteError::File`] if it cannot be read, [`SiteError::Placeholder`] if it names one without a value.
pub fn fill(shell: &Path, file: &str, values: &Placeholders) -> Result<String, SiteError> {
    let path = shell.join(file);
    let mut text = fs::read_to_string(&path).map_err(SiteError::file("cannot read", &path))?;
    for (name, value) in values {
        text = text.replace(&format!("@{name}@"), value);
    }
    match unfilled(&text) {
        None => Ok(text),
        Some(placeholder) => Err(SiteError::Placeholder { file: file.to_owned(), placeholder }),
    }
}

fn unfilled(text: &str) -> Option<String> {
    text.split('@').skip(1).find_map(|part| {
        let is_placeholder = part.len() > 1
            && part.chars().all(|c| c.is_ascii_uppercase() || c == '_' || c.is_ascii_digit());
        is_placeholder.then(|| part.to_owned())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_placeholder_without_a_value_is_found() {
        assert_eq!(unfilled("a @NOT_THERE@ b"), Some("NOT_THERE".to_owned()));
        assert_eq!(unfilled("@media (x) { } @media (y) { }"), None);
    }
}
