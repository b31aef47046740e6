//! Where the landmarks are at one moment, by landmark.

use crate::body::{End, Landmark};
use crate::signal::State;
use crate::space::Side;

/// One place a landmark; none where it is not known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Places([Option<State>; Landmark::ALL.len()]);

impl Places {
    /// How a landmark moves.
    #[must_use]
    pub fn get(&self, landmark: Landmark) -> Option<&State> {
        self.0.get(landmark.index()).and_then(Option::as_ref)
    }

    /// Puts a landmark there.
    pub fn set(&mut self, landmark: Landmark, state: State) {
        if let Some(place) = self.0.get_mut(landmark.index()) {
            *place = Some(state);
        }
    }

    /// Every landmark that is known.
    pub fn known_mut(&mut self) -> impl Iterator<Item = (Landmark, &mut State)> {
        Landmark::ALL.into_iter().zip(&mut self.0).filter_map(|(l, s)| Some((l, s.as_mut()?)))
    }

    /// Where a segment's end is.
    ///
    /// # Errors
    /// The landmark that is not known.
    pub fn end(&self, end: End) -> Result<State, Landmark> {
        let of = |joint, side| {
            let landmark = Landmark::of(joint, side);
            self.get(landmark).copied().ok_or(landmark)
        };
        match end {
            End::Of(joint, side) => of(joint, side),
            End::Middle(joint) => Ok(of(joint, Side::Near)?.blend(of(joint, Side::Far)?, 0.5)),
        }
    }
}

impl FromIterator<(Landmark, State)> for Places {
    fn from_iter<T: IntoIterator<Item = (Landmark, State)>>(all: T) -> Self {
        let mut places = Self::default();
        all.into_iter().for_each(|(landmark, state)| places.set(landmark, state));
        places
    }
}
