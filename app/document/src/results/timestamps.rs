//! What the timestamps of a clip show beside its rate: missing frames, frames with one timestamp, a rate that changes.

/// Deviation from a whole multiple of the usual step within which a step is that multiple. Chosen: phones write
/// timestamps to some 5 %.
const MULTIPLE_TOLERANCE: f64 = 0.2;
/// Error of a step in containers that round timestamps to a millisecond. Exact: half a millisecond at either end, and
/// a hundredth for the arithmetic.
const ROUNDING_S: f64 = 0.001_01;
/// Part of a usual step below which two frames share a timestamp. Chosen: no camera films at fifty times its rate.
const DUPLICATE_RATIO: f64 = 0.02;
/// Part of the steps that must be near a multiple of the usual one. Chosen: with fewer the rate is variable, and no
/// frame can be said to be missing.
const LEAST_STEADY_RATIO: f64 = 0.75;
/// Equal long steps in a row that are another rate rather than missing frames. Chosen: no phone drops so many frames
/// evenly.
const LEAST_SLOW_STEPS: usize = 8;

/// Irregularities of the timestamps; frames are numbered from 0, as everywhere but on screen.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TimestampFaults {
    /// Gaps of missing frames.
    pub missing: Vec<Gap>,
    /// Frames with the timestamp of the one before.
    pub duplicates: Vec<usize>,
    /// Parts at a lower rate.
    pub slower: Vec<SlowPart>,
    /// Whether the steps differ so much that none is the usual one.
    pub is_variable: bool,
}

/// Missing frames.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The frame before the gap.
    pub after_frame: usize,
    /// Number of missing frames.
    pub missing: usize,
}

/// A part of a clip at a lower rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SlowPart {
    /// Its first frame.
    pub from_frame: usize,
    /// Its step as a multiple of the usual one.
    pub times: usize,
    /// Number of its steps.
    pub steps: usize,
}

/// Finds irregularities in the timestamps, given in display order.
///
/// A step of k usual ones, k at least 2, is k - 1 missing frames, unless many such steps follow each other.
#[must_use]
pub fn timestamp_faults(stamps_s: &[f64]) -> TimestampFaults {
    let steps_s: Vec<f64> =
        stamps_s.iter().zip(stamps_s.iter().skip(1)).map(|(a, b)| b - a).collect();
    let mut sorted = steps_s.clone();
    sorted.sort_by(f64::total_cmp);
    let Some(usual_s) = sorted.get(sorted.len() / 2).copied().filter(|s| *s > 0.0) else {
        return TimestampFaults::default();
    };
    let multiples: Vec<Option<usize>> = steps_s.iter().map(|s| multiple(*s, usual_s)).collect();
    let whole = multiples.iter().filter(|m| m.is_some()).count();
    if (whole as f64) < LEAST_STEADY_RATIO * multiples.len() as f64 {
        return TimestampFaults { is_variable: true, ..TimestampFaults::default() };
    }
    faults_of_multiples(&multiples)
}

/// The whole multiple of the usual step that a step is; 0 for two frames with one timestamp, none for a step between.
fn multiple(step_s: f64, usual_s: f64) -> Option<usize> {
    let ratio = step_s / usual_s;
    if ratio < DUPLICATE_RATIO {
        return Some(0);
    }
    let tolerance = MULTIPLE_TOLERANCE.max(ROUNDING_S / usual_s).min(0.4);
    let times = ratio.round();
    // Far below what 64 bits hold; what is not a number becomes 0, which is not above 1.
    ((ratio - times).abs() <= tolerance && times >= 1.0).then_some(times as usize)
}

fn faults_of_multiples(multiples: &[Option<usize>]) -> TimestampFaults {
    let mut found = TimestampFaults::default();
    let mut at = 0;
    while let Some(step) = multiples.get(at) {
        let rest = multiples.get(at..).unwrap_or_default();
        let steps = rest.iter().take_while(|m| *m == step).count();
        match *step {
            Some(0) => found.duplicates.extend(at + 1..=at + steps),
            Some(times @ 2..) if steps >= LEAST_SLOW_STEPS => {
                found.slower.push(SlowPart { from_frame: at, times, steps });
            }
            Some(times @ 2..) => {
                let gap = |after_frame| Gap { after_frame, missing: times - 1 };
                found.missing.extend((at..at + steps).map(gap));
            }
            _ => {}
        }
        at += steps;
    }
    found
}

impl TimestampFaults {
    /// One sentence a kind of fault: what is wrong, then what follows.
    #[must_use]
    pub fn sentences(&self) -> Vec<String> {
        let mut sentences = Vec::new();
        if let Some(first) = self.missing.first() {
            let count: usize = self.missing.iter().map(|gap| gap.missing).sum();
            sentences.push(format!(
                "The camera dropped {}, the first after frame {}: there the clip is measured across the gap.",
                frames(count),
                first.after_frame + 1
            ));
        }
        if let Some(first) = self.duplicates.first() {
            let count = self.duplicates.len();
            sentences.push(format!(
                "{} {} the stamp of the one before, the first is frame {}: such frames add nothing.",
                frames(count),
                if count == 1 { "has" } else { "have" },
                first + 1
            ));
        }
        if let Some(SlowPart { from_frame, times, .. }) = self.slower.first() {
            sentences.push(format!(
                "From frame {} on the frames lie {times} times as far apart: this part may be slow motion, or the rest. Measure \
                 within one rate, or film the whole at one.",
                from_frame + 1
            ));
        }
        if self.is_variable {
            sentences.push(
                "The frames lie unevenly in time; each is taken at its own stamp. Dropped frames cannot be detected in such a clip."
                    .to_owned(),
            );
        }
        sentences
    }
}

/// The sentence on frames that repeat the image of the one before, if there are any.
#[must_use]
pub fn repeated_frames_sentence(repeated: &[u32]) -> Option<String> {
    let first = repeated.first()? + 1;
    let hold = if repeated.len() == 1 { "holds" } else { "hold" };
    Some(format!(
        "{} {hold} the picture of the one before, the first is frame {first}: nothing moves there, and the next step is too \
         long. Open the file as the camera wrote it, or film again.",
        frames(repeated.len())
    ))
}

fn frames(count: usize) -> String {
    if count == 1 { "1 frame".to_owned() } else { format!("{count} frames") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(rate_hz: f64, frames: impl IntoIterator<Item = u32>) -> Vec<f64> {
        frames.into_iter().map(|n| f64::from(n) / rate_hz).collect()
    }

    #[test]
    fn a_gap_of_whole_steps_is_that_many_missing_frames() {
        let found = timestamp_faults(&at(120.0, (0..100).filter(|n| ![10, 11, 40].contains(n))));
        let gaps = [Gap { after_frame: 9, missing: 2 }, Gap { after_frame: 37, missing: 1 }];
        assert_eq!(found.missing, gaps);
        let sentences = found.sentences();
        assert_eq!(sentences.len(), 1);
        assert!(sentences[0].starts_with("The camera dropped 3 frames, the first after frame 10:"));
        assert_eq!(timestamp_faults(&at(120.0, 0..100)), TimestampFaults::default());
    }

    #[test]
    fn timestamps_rounded_to_milliseconds_have_no_fault_at_any_rate_of_phones() {
        for rate_hz in [24.0, 25.0, 29.97, 30.0, 50.0, 59.94, 60.0, 120.0, 239.76, 240.0] {
            let rounded: Vec<f64> =
                at(rate_hz, 0..1000).iter().map(|s| (s * 1000.0).round() / 1000.0).collect();
            assert_eq!(timestamp_faults(&rounded), TimestampFaults::default(), "{rate_hz}");
        }
    }

    #[test]
    fn repeated_images_are_counted_and_the_first_is_named() {
        assert_eq!(repeated_frames_sentence(&[]), None);
        let one = repeated_frames_sentence(&[30]).unwrap();
        assert!(
            one.starts_with("1 frame holds the picture of the one before, the first is frame 31:")
        );
        assert!(repeated_frames_sentence(&[4, 9]).unwrap().starts_with("2 frames hold"));
    }

    #[test]
    fn frames_with_one_timestamp_are_duplicates_and_a_long_slow_part_is_another_rate() {
        let found = timestamp_faults(&at(60.0, [0, 1, 2, 2, 3, 4, 5, 6]));
        assert_eq!(found.duplicates, [3]);
        assert!(found.sentences()[0].starts_with("1 frame has the stamp of the one before"));
        // A second at 240 frames/s between two halves at 30.
        let ramp = (0..15).map(|n| n * 8).chain(120..360).chain((0..15).map(|n| 360 + n * 8));
        let found = timestamp_faults(&at(240.0, ramp));
        let slower = [
            SlowPart { from_frame: 0, times: 8, steps: 15 },
            SlowPart { from_frame: 255, times: 8, steps: 14 },
        ];
        assert_eq!((found.slower, found.missing), (slower.to_vec(), Vec::new()));
    }

    #[test]
    fn uneven_steps_are_reported_as_uneven_and_no_frame_as_missing() {
        let uneven: Vec<f64> =
            (0..60).map(|n| (f64::from(n) + 0.4 * f64::from(n % 3)) / 30.0).collect();
        let found = timestamp_faults(&uneven);
        assert!(found.is_variable && found.missing.is_empty(), "{found:?}");
        for few in [&[][..], &[0.0], &[0.0, 0.0, 0.0]] {
            assert_eq!(timestamp_faults(few), TimestampFaults::default());
        }
    }
}
