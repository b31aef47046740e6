//! What a marker is, which decides how it is followed.

/// What a marker is: decides how it is followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// A sticker of its own contrast: the placed template decides.
    Sticker,
    /// Skin or cloth: continuity decides, and its patches are renewed.
    Skin,
}
