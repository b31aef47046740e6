//! Where a value was published, so that a table row without a citation does not compile.

/// A publication and the place in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// Author, year and title, short.
    pub work: &'static str,
    /// Table, section or equation.
    pub locus: &'static str,
}
