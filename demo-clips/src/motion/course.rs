//! The course: in place on the belt, or through the hall.

/// Where the runner runs. The motion relative to the belt and to the floor is the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Course {
    /// On the belt of the treadmill.
    Belt,
    /// Over the floor.
    Crossing {
        /// Position of the runner in the first frame.
        start_m: f64,
    },
}

impl Course {
    /// Position of a runner who has covered a distance since the first frame.
    #[must_use]
    pub fn ahead_m(&self, run_m: f64) -> f64 {
        match self {
            Course::Belt => 0.0,
            Course::Crossing { start_m } => start_m + run_m,
        }
    }
}
