//! The source tree: every file of the project, and Rust files as tokens and items, with or without their tests.

use proc_macro2::{Delimiter, Group, LineColumn, TokenStream, TokenTree};
use std::path::{Path, PathBuf};
use std::{fs, io};

/// Folders of generated files.
const GENERATED: [&str; 3] = ["target", "node_modules", ".git"];

/// One file.
#[derive(Clone, Debug)]
pub struct SourceFile {
    /// Path from the root, with `/` between the parts.
    pub path: String,
    /// Its size.
    pub size_bytes: u64,
    /// Its text; none when it is binary.
    pub content: Option<String>,
    /// Whether it is executable.
    pub executable: bool,
}

/// Every file of the project.
#[derive(Clone, Debug, Default)]
pub struct Tree {
    /// In order of path.
    pub files: Vec<SourceFile>,
}

impl SourceFile {
    /// A text file in a test of a rule.
    #[must_use]
    pub fn written(path: &str, text: &str) -> Self {
        Self {
            path: path.to_owned(),
            size_bytes: text.len() as u64,
            content: Some(text.to_owned()),
            executable: false,
        }
    }

    /// Its text, or nothing.
    #[must_use]
    pub fn text(&self) -> &str {
        self.content.as_deref().unwrap_or_default()
    }

    /// Whether it is a Rust source.
    #[must_use]
    pub fn is_rust(&self) -> bool {
        self.path.ends_with(".rs")
    }

    /// Name of the crate's folder: the first part of the path.
    #[must_use]
    pub fn crate_folder(&self) -> &str {
        self.path.split('/').next().unwrap_or_default()
    }

    /// Its tokens in order, groups opened, without the items of tests.
    #[must_use]
    pub fn tokens(&self) -> Vec<Token> {
        let mut out = Vec::new();
        flatten(without_tests(parse(self.text())), &mut out);
        out
    }

    /// Its tokens with those of tests.
    #[must_use]
    pub fn tokens_with_tests(&self) -> Vec<Token> {
        let mut out = Vec::new();
        flatten(parse(self.text()), &mut out);
        out
    }

    /// Its items with those of tests; none when it is not valid Rust.
    #[must_use]
    pub fn items_with_tests(&self) -> Option<syn::File> {
        syn::parse2(parse(self.text())).ok()
    }

    /// Its items without those of tests; none when it is not valid Rust.
    #[must_use]
    pub fn items(&self) -> Option<syn::File> {
        syn::parse2(without_tests(parse(self.text()))).ok()
    }
}

impl Tree {
    /// Reads the tree under `root`.
    ///
    /// # Errors
    /// When a file or folder cannot be read.
    pub fn read(root: &Path) -> io::Result<Self> {
        let mut tree = Self::default();
        tree.walk(root, root)?;
        tree.files.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(tree)
    }

    /// The project's own tree.
    ///
    /// # Errors
    /// When a file or folder cannot be read.
    pub fn of_the_project() -> io::Result<Self> {
        Self::read(&project_root())
    }

    fn walk(&mut self, root: &Path, folder: &Path) -> io::Result<()> {
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = entry.path();
            if GENERATED.contains(&name.as_str()) {
                continue;
            }
            if entry.file_type()?.is_dir() {
                self.walk(root, &path)?;
            } else {
                self.files.push(read_file(root, &path)?);
            }
        }
        Ok(())
    }

    /// The Rust files whose path begins like this.
    pub fn rust<'a>(&'a self, under: &'a str) -> impl Iterator<Item = &'a SourceFile> {
        self.files.iter().filter(move |f| f.is_rust() && f.path.starts_with(under))
    }

    /// The file at this path.
    #[must_use]
    pub fn file(&self, path: &str) -> Option<&SourceFile> {
        self.files.iter().find(|f| f.path == path)
    }
}

/// The folder of the workspace.
#[must_use]
pub fn project_root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .nth(2)
        .map(Path::to_path_buf)
        .unwrap_or_default()
}

fn read_file(root: &Path, path: &Path) -> io::Result<SourceFile> {
    let meta = fs::metadata(path)?;
    let inside = path.strip_prefix(root).unwrap_or(path);
    Ok(SourceFile {
        path: inside.to_string_lossy().replace('\\', "/"),
        size_bytes: meta.len(),
        content: String::from_utf8(fs::read(path)?).ok(),
        executable: is_executable(&meta),
    })
}

#[cfg(unix)]
fn is_executable(meta: &fs::Metadata) -> bool {
    use std::os::unix::fs::PermissionsExt;
    meta.permissions().mode() & 0o111 != 0
}

#[cfg(not(unix))]
fn is_executable(_: &fs::Metadata) -> bool {
    false
}

/// What a token is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A name or a keyword.
    Name,
    /// A literal, doc comments among them.
    Literal,
    /// A sign.
    Sign,
    /// The beginning of a group.
    Open,
    /// The end of a group.
    Close,
}

/// One token of a Rust file.
#[derive(Clone, Debug)]
pub struct Token {
    /// What it is.
    pub kind: Kind,
    /// As it is written.
    pub text: String,
    /// Its line.
    pub line: usize,
}

impl Token {
    /// Whether it is this name.
    #[must_use]
    pub fn is_name(&self, name: &str) -> bool {
        self.kind == Kind::Name && self.text == name
    }

    /// Whether it is this sign or bracket.
    #[must_use]
    pub fn is_sign(&self, sign: &str) -> bool {
        matches!(self.kind, Kind::Sign | Kind::Open | Kind::Close) && self.text == sign
    }
}

fn parse(text: &str) -> TokenStream {
    text.parse().unwrap_or_default()
}

/// Leaves out every item under `#[cfg(test)]` or `#[test]`.
fn without_tests(stream: TokenStream) -> TokenStream {
    let mut out = Vec::new();
    let mut tokens = stream.into_iter().peekable();
    while let Some(token) = tokens.next() {
        match (&token, tokens.peek()) {
            (TokenTree::Punct(p), Some(TokenTree::Group(g)))
                if p.as_char() == '#' && marks_a_test(g) =>
            {
                tokens.next();
                while tokens.next().is_some_and(|t| !ends_an_item(&t)) {}
                drop_attributes(&mut out);
            }
            (TokenTree::Group(g), _) => {
                let mut inner = Group::new(g.delimiter(), without_tests(g.stream()));
                inner.set_span(g.span());
                out.push(TokenTree::Group(inner));
            }
            _ => out.push(token),
        }
    }
    out.into_iter().collect()
}

/// Removes the attributes and doc comments before an item that is left out.
fn drop_attributes(out: &mut Vec<TokenTree>) {
    while let [.., TokenTree::Punct(mark), TokenTree::Group(attribute)] = out.as_slice()
        && mark.as_char() == '#'
        && attribute.delimiter() == Delimiter::Bracket
    {
        out.truncate(out.len() - 2);
    }
}

fn marks_a_test(attribute: &Group) -> bool {
    let words: String = attribute.stream().to_string().split_whitespace().collect();
    attribute.delimiter() == Delimiter::Bracket && (words == "cfg(test)" || words == "test")
}

fn ends_an_item(token: &TokenTree) -> bool {
    match token {
        TokenTree::Group(g) => g.delimiter() == Delimiter::Brace,
        TokenTree::Punct(p) => p.as_char() == ';',
        _ => false,
    }
}

fn flatten(stream: TokenStream, out: &mut Vec<Token>) {
    for token in stream {
        let mut push = |kind, text: String, at: LineColumn| {
            out.push(Token { kind, text, line: at.line });
        };
        match token {
            TokenTree::Ident(i) => push(Kind::Name, i.to_string(), i.span().start()),
            TokenTree::Literal(l) => push(Kind::Literal, l.to_string(), l.span().start()),
            TokenTree::Punct(p) => push(Kind::Sign, p.as_char().to_string(), p.span().start()),
            TokenTree::Group(g) => {
                let (open, close) = match g.delimiter() {
                    Delimiter::Parenthesis => ("(", ")"),
                    Delimiter::Brace => ("{", "}"),
                    Delimiter::Bracket => ("[", "]"),
                    Delimiter::None => ("", ""),
                };
                push(Kind::Open, open.to_owned(), g.span_open().start());
                flatten(g.stream(), out);
                let at = g.span_close().start();
                out.push(Token { kind: Kind::Close, text: close.to_owned(), line: at.line });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn items_of_tests_are_left_out_and_lines_are_kept() {
        let file = SourceFile::written(
            "a/src/b.rs",
            "//! A file.\nfn kept() {}\n#[cfg(test)]\nmod tests { fn gone() {} }\nfn also() {}\n",
        );
        let names: Vec<(String, usize)> = file
            .tokens()
            .into_iter()
            .filter(|t| t.kind == Kind::Name)
            .map(|t| (t.text, t.line))
            .collect();
        assert!(names.contains(&("kept".into(), 2)));
        assert!(names.contains(&("also".into(), 5)));
        assert!(!names.iter().any(|(n, _)| n == "gone"));
        assert_eq!(file.items().map(|f| f.items.len()), Some(2));
    }
}
