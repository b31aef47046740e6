//! Reads rendered HTML.

/// An element of the page.
pub struct Element<'a> {
    /// Its opening tag from the name on: the attributes.
    pub attributes: &'a str,
    /// Its content.
    pub content: &'a str,
}

/// The elements of a name.
pub fn elements<'a>(html: &'a str, name: &str) -> Vec<Element<'a>> {
    let (open, close) = (format!("<{name}"), format!("</{name}>"));
    let is_whole_name = |rest: &str| rest.starts_with([' ', '>']);
    html.match_indices(&open)
        .map(|(at, _)| &html[at + open.len()..])
        .filter(|rest| is_whole_name(rest))
        .map(|rest| {
            let (attributes, content) = rest.split_once('>').unwrap_or((rest, ""));
            Element { attributes, content: content.split(&close).next().unwrap_or_default() }
        })
        .collect()
}

/// The text of a content without its tags.
pub fn text(content: &str) -> String {
    let mut found = String::new();
    for piece in content.split('<') {
        found.push_str(piece.split_once('>').map_or(piece, |(_, text)| text));
    }
    found.trim().to_owned()
}
