//! The two sides of the body, as the camera sees them.

/// A side of the body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Towards the camera.
    Near,
    /// Away from the camera.
    Far,
}

/// One value for each side.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pair<T> {
    /// The one towards the camera.
    pub near: T,
    /// The one away from the camera.
    pub far: T,
}

impl<T: Copy> Pair<T> {
    /// Makes one value for each side.
    pub fn each(mut make: impl FnMut(Side) -> T) -> Self {
        Self { near: make(Side::Near), far: make(Side::Far) }
    }

    /// The value of a side.
    #[must_use]
    pub fn of(&self, side: Side) -> T {
        match side {
            Side::Near => self.near,
            Side::Far => self.far,
        }
    }
}
