//! Where the runner runs: in place on the belt, or through the hall.

/// Where the runner runs. What moves backward on a belt stands still on the ground: the motion is the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Course {
    /// On the belt of the treadmill.
    Belt,
    /// Over the floor, from this place on.
    Crossing {
        /// Where the runner is in the first frame, from the origin of the metres.
        start_m: f64,
    },
}

impl Course {
    /// How far ahead of the origin the runner is who has run so far.
    #[must_use]
    pub fn ahead_m(&self, run_m: f64) -> f64 {
        match self {
            Course::Belt => 0.0,
            Course::Crossing { start_m } => start_m + run_m,
        }
    }
}
