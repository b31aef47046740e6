//! Position, velocity and acceleration of the landmarks at one instant.

use crate::body::End;
use crate::landmark::Landmark;
use crate::signal::State;
use crate::space::Side;

/// One state per landmark; none if the landmark is missing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LandmarkStates([Option<State>; Landmark::ALL.len()]);

impl LandmarkStates {
    /// The state of a landmark.
    #[must_use]
    pub fn get(&self, landmark: Landmark) -> Option<&State> {
        self.0.get(landmark.index()).and_then(Option::as_ref)
    }

    /// Sets the state of a landmark.
    pub fn set(&mut self, landmark: Landmark, state: State) {
        if let Some(slot) = self.0.get_mut(landmark.index()) {
            *slot = Some(state);
        }
    }

    /// Every landmark that is known.
    pub fn known_mut(&mut self) -> impl Iterator<Item = (Landmark, &mut State)> {
        Landmark::ALL.into_iter().zip(&mut self.0).filter_map(|(l, s)| Some((l, s.as_mut()?)))
    }

    /// The state of a segment's end.
    ///
    /// # Errors
    /// The landmark that is missing.
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

impl FromIterator<(Landmark, State)> for LandmarkStates {
    fn from_iter<T: IntoIterator<Item = (Landmark, State)>>(all: T) -> Self {
        let mut states = Self::default();
        all.into_iter().for_each(|(landmark, state)| states.set(landmark, state));
        states
    }
}
