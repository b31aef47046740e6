//! Pictures that were written twice at steady stamps: each is held against the one before.

use std::collections::BTreeMap;
use tracking::image::{GreyFrame, SampledRows};

/// Chosen: so many frames to each side are looked at for movement: from 30 to 240 frames/s one in eight is new.
const NEIGHBOURS: u32 = 8;
/// Chosen: of 256 grey levels; less than this may be noise, and where nothing moves nothing was written twice.
const LEAST_MOVEMENT: f64 = 4.0;
/// Chosen: pictures written twice and coded anew changed by at most 0.02 of their neighbours in four clips, others by at
/// least 0.27 in twelve, of 30 to 120 frames/s, noise and 150 kbit/s among them.
const MOST_RATIO: f64 = 0.15;

/// Watches the pictures of a clip as they are taken.
pub(super) struct Twice {
    frame_count: u32,
    /// The frame taken last, thinned out.
    before: Option<(u32, SampledRows)>,
    /// How much each picture changed into the next, in grey levels, by the number of the later one.
    changes: BTreeMap<u32, f64>,
}

impl Twice {
    /// Nothing is known yet of a clip of so many frames.
    pub fn of(frame_count: u32) -> Self {
        Self { frame_count, before: None, changes: BTreeMap::new() }
    }

    /// Takes a frame; its neighbour in time, of whichever side, was taken just before, or is not known.
    pub fn take(&mut self, number: u32, frame: GreyFrame<'_>) {
        let thinned = SampledRows::of(frame);
        if let Some((before, old)) = self.before.take()
            && before.abs_diff(number) == 1
        {
            self.changes.insert(before.max(number), old.change(&thinned));
        }
        self.before = Some((number, thinned));
    }

    /// The frames whose picture is that of the one before, while the pictures before and after it move.
    pub fn found(&self) -> Option<Vec<u32>> {
        if self.changes.len() + 1 < self.frame_count as usize {
            return None;
        }
        let most = |changes: std::collections::btree_map::Range<'_, u32, f64>| {
            changes.map(|(_, change)| *change).fold(0.0, f64::max)
        };
        let is_one = |(number, change): (&u32, &f64)| {
            let earlier = most(self.changes.range(number.saturating_sub(NEIGHBOURS)..*number));
            let later = most(self.changes.range(number + 1..=number.saturating_add(NEIGHBOURS)));
            let moves = earlier.min(later);
            (moves >= LEAST_MOVEMENT && *change <= MOST_RATIO * moves).then_some(*number)
        };
        Some(self.changes.iter().filter_map(is_one).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDE: usize = 256;

    /// A light square that has come so far over a dark ground, with noise of so many levels from a seed.
    fn picture(at: usize, noise: u32, seed: u32) -> Vec<u8> {
        let mut state = seed.wrapping_mul(2_654_435_761).wrapping_add(1);
        (0..SIDE * SIDE)
            .map(|k| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let is_square =
                    (at..at + 64).contains(&(k % SIDE)) && (64..192).contains(&(k / SIDE));
                let grey = if is_square { 160 } else { 60 };
                u8::try_from(grey + (state >> 24) * noise / 256).unwrap_or(u8::MAX)
            })
            .collect()
    }

    fn found(pictures: &[Vec<u8>], order: impl Iterator<Item = usize>) -> Option<Vec<u32>> {
        let mut twice = Twice::of(u32::try_from(pictures.len()).unwrap());
        for n in order {
            let frame = GreyFrame::new(SIDE, SIDE, SIDE, &pictures[n]).unwrap();
            twice.take(u32::try_from(n).unwrap(), frame);
        }
        twice.found()
    }

    fn moving(repeated: &[usize], noise: u32) -> Vec<Vec<u8>> {
        let place = |n: usize| 3 * (n - usize::from(repeated.contains(&n)));
        (0..40).map(|n| picture(place(n), noise, u32::try_from(n).unwrap())).collect()
    }

    #[test]
    fn pictures_that_stand_twice_are_found_with_and_without_noise_and_against_time() {
        for noise in [0, 4] {
            let pictures = moving(&[7, 20, 31], noise);
            assert_eq!(found(&pictures, 0..40), Some(vec![7, 20, 31]));
            assert_eq!(found(&pictures, (0..40).rev()), Some(vec![7, 20, 31]));
            // From a mark in the midst, first back, then forward.
            assert_eq!(found(&pictures, (0..=15).rev().chain(15..40)), Some(vec![7, 20, 31]));
        }
    }

    #[test]
    fn nothing_is_said_where_all_moves_where_nothing_moves_or_where_it_only_begins_to() {
        assert_eq!(found(&moving(&[], 4), 0..40), Some(vec![]));
        let still: Vec<Vec<u8>> = (0..40).map(|n| picture(30, 6, n)).collect();
        assert_eq!(found(&still, 0..40), Some(vec![]));
        let same: Vec<Vec<u8>> = (0..40).map(|_| picture(30, 0, 1)).collect();
        assert_eq!(found(&same, 0..40), Some(vec![]));
        let begins: Vec<Vec<u8>> =
            (0_usize..40).map(|n| picture(4 * n.saturating_sub(20), 0, 1)).collect();
        assert_eq!(found(&begins, 0..40), Some(vec![]));
    }

    #[test]
    fn nothing_is_said_before_every_frame_was_taken() {
        assert_eq!(found(&moving(&[7], 0), 0..39), None);
        assert_eq!(found(&[], 0..0), Some(vec![]));
    }
}
