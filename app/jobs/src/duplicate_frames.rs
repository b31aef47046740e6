//! Duplicate frames: frames that repeat the frame before although the runner moves.

use std::collections::BTreeMap;
use std::collections::btree_map::Range;
use tracking::image::{GreyFrame, SampledRows};

/// Frames searched on each side for motion. Chosen: at 240 frames/s from 30, one frame in eight is new.
const NEIGHBOURS: u32 = 8;
/// Chosen: of 256 grey levels. A smaller change may be noise, and without motion a repeated frame means nothing.
const LEAST_MOTION: f64 = 4.0;
/// Chosen: in four clips, repeated frames that were encoded again changed by at most 0.02 of their neighbours; in twelve
/// clips, other frames changed by at least 0.27. The clips had 30 to 120 frames/s; some had noise or 150 kbit/s.
const MOST_RATIO: f64 = 0.15;

/// Compares each frame of a clip with the one before.
pub(crate) struct DuplicateFrames {
    frame_count: u32,
    /// The frame taken last, in part.
    before: Option<(u32, SampledRows)>,
    /// The change from each frame to the next in grey levels, by the number of the later one.
    changes: BTreeMap<u32, f64>,
}

impl DuplicateFrames {
    /// For a clip of this many frames.
    pub fn new(frame_count: u32) -> Self {
        Self { frame_count, before: None, changes: BTreeMap::new() }
    }

    /// Takes a frame. It is compared if the frame taken just before is its neighbour in time, on either side.
    pub fn take(&mut self, number: u32, frame: GreyFrame<'_>) {
        let rows = SampledRows::of(frame);
        if let Some((before, old)) = self.before.take()
            && before.abs_diff(number) == 1
        {
            self.changes.insert(before.max(number), old.change(&rows));
        }
        self.before = Some((number, rows));
    }

    /// The frames that repeat the frame before while the frames on both sides move; none before every frame is taken.
    pub fn found(&self) -> Option<Vec<u32>> {
        if self.changes.len() + 1 < self.frame_count as usize {
            return None;
        }
        let most =
            |changes: Range<'_, u32, f64>| changes.map(|(_, change)| *change).fold(0.0, f64::max);
        let duplicate = |(number, change): (&u32, &f64)| {
            let earlier = most(self.changes.range(number.saturating_sub(NEIGHBOURS)..*number));
            let later = most(self.changes.range(number + 1..=number.saturating_add(NEIGHBOURS)));
            let motion = earlier.min(later);
            (motion >= LEAST_MOTION && *change <= MOST_RATIO * motion).then_some(*number)
        };
        Some(self.changes.iter().filter_map(duplicate).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDE: usize = 256;

    /// A light square at this column on a dark background, with noise of this many grey levels from a seed.
    fn picture(column: usize, noise: u32, seed: u32) -> Vec<u8> {
        let mut state = seed.wrapping_mul(2_654_435_761).wrapping_add(1);
        (0..SIDE * SIDE)
            .map(|k| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let is_square =
                    (column..column + 64).contains(&(k % SIDE)) && (64..192).contains(&(k / SIDE));
                let grey = if is_square { 160 } else { 60 };
                u8::try_from(grey + (state >> 24) * noise / 256).unwrap_or(u8::MAX)
            })
            .collect()
    }

    fn found(pictures: &[Vec<u8>], order: impl Iterator<Item = usize>) -> Option<Vec<u32>> {
        let mut duplicates = DuplicateFrames::new(u32::try_from(pictures.len()).unwrap());
        for n in order {
            let frame = GreyFrame::new(SIDE, SIDE, SIDE, &pictures[n]).unwrap();
            duplicates.take(u32::try_from(n).unwrap(), frame);
        }
        duplicates.found()
    }

    fn moving(repeated: &[usize], noise: u32) -> Vec<Vec<u8>> {
        let place = |n: usize| 3 * (n - usize::from(repeated.contains(&n)));
        (0..40).map(|n| picture(place(n), noise, u32::try_from(n).unwrap())).collect()
    }

    #[test]
    fn duplicates_are_found_with_and_without_noise_in_both_directions_of_time() {
        for noise in [0, 4] {
            let pictures = moving(&[7, 20, 31], noise);
            assert_eq!(found(&pictures, 0..40), Some(vec![7, 20, 31]));
            assert_eq!(found(&pictures, (0..40).rev()), Some(vec![7, 20, 31]));
            // From a mark in the middle: first backward, then forward.
            assert_eq!(found(&pictures, (0..=15).rev().chain(15..40)), Some(vec![7, 20, 31]));
        }
    }

    #[test]
    fn no_duplicate_is_found_if_everything_moves_nothing_moves_or_motion_only_begins() {
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
    fn there_is_no_answer_before_every_frame_is_taken() {
        assert_eq!(found(&moving(&[7], 0), 0..39), None);
        assert_eq!(found(&[], 0..0), Some(vec![]));
    }
}
