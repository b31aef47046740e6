//! Where a marker is in one frame, and how sure that is.

/// A place in the picture: x to the right, y down, pixel centres at integers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pixel {
    /// To the right.
    pub x_px: f64,
    /// Down.
    pub y_px: f64,
}

/// How a position came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// A person put it there.
    Placed,
    /// Seen: the picture agrees with the marker.
    Seen,
    /// Found, but the picture leaves doubt.
    Doubtful,
    /// Not seen: carried on by its own motion and its limb.
    Coasting,
    /// Gone: the position is the last guess and must not be used.
    Lost,
}

/// A marker in one frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Where.
    pub at: Pixel,
    /// How it came about.
    pub state: State,
    /// Probability of being more than 6 px off.
    pub p_wrong: f64,
}
