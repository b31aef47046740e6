//! What the stamps of a clip tell beside its rate: frames that are missing, that share a moment, a rate that changes.

/// Chosen: a step this near to a whole multiple of the usual one is that multiple; phones write stamps to some 5 %.
const OFF_MULTIPLE: f64 = 0.2;
/// Containers may round stamps to a millisecond, each end of a step by half of one.
const ROUNDING_S: f64 = 0.001_01;
/// Chosen: two frames nearer to each other than this part of a usual step share a moment.
const ALIKE: f64 = 0.02;
/// Chosen: where fewer steps than this are near to the usual one, the rate is variable and no frame can be said to lack.
const LEAST_STEADY: f64 = 0.75;
/// Chosen: so many long steps in a row are another rate, not frames that lack.
const LEAST_IN_A_ROW: usize = 8;

/// What was found; frames are numbered from 0, as everywhere but on the screen.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stamps {
    /// After which frame how many are missing.
    pub missing: Vec<(usize, usize)>,
    /// Frames that have the stamp of the one before.
    pub doubled: Vec<usize>,
    /// From which frame on the step is so many times the usual one, and for how many steps.
    pub slower: Vec<(usize, usize, usize)>,
    /// Whether the steps differ so much that none is the usual one.
    pub is_variable: bool,
}

/// Reads the stamps in order of showing.
///
/// A step of k usual ones, k at least 2, is k - 1 missing frames, unless many such steps follow each other.
#[must_use]
pub fn stamps(stamps_s: &[f64]) -> Stamps {
    let steps_s: Vec<f64> =
        stamps_s.iter().zip(stamps_s.iter().skip(1)).map(|(a, b)| b - a).collect();
    let mut sorted = steps_s.clone();
    sorted.sort_by(f64::total_cmp);
    let Some(usual_s) = sorted.get(sorted.len() / 2).copied().filter(|s| *s > 0.0) else {
        return Stamps::default();
    };
    let mut found = Stamps::default();
    let multiple = |step_s: f64| {
        let ratio = step_s / usual_s;
        if ratio < ALIKE {
            return Some(0);
        }
        let most_off = OFF_MULTIPLE.max(ROUNDING_S / usual_s).min(0.4);
        let times = ratio.round();
        // Far below what 64 bits hold; what is no number becomes 0, and none is asked for.
        ((ratio - times).abs() <= most_off && times >= 1.0).then_some(times as usize)
    };
    let multiples: Vec<Option<usize>> = steps_s.iter().map(|s| multiple(*s)).collect();
    let whole = multiples.iter().filter(|m| m.is_some()).count();
    if (whole as f64) < LEAST_STEADY * multiples.len() as f64 {
        found.is_variable = true;
        return found;
    }
    let mut at = 0;
    while let Some(step) = multiples.get(at) {
        let rest = multiples.get(at..).unwrap_or_default();
        let alike = rest.iter().take_while(|m| *m == step).count();
        match *step {
            Some(0) => found.doubled.extend(at + 1..=at + alike),
            Some(times @ 2..) if alike >= LEAST_IN_A_ROW => found.slower.push((at, times, alike)),
            Some(times @ 2..) => found.missing.extend((at..at + alike).map(|f| (f, times - 1))),
            _ => {}
        }
        at += alike;
    }
    found
}

impl Stamps {
    /// What a person is told, if there is anything: what is wrong, then what follows.
    #[must_use]
    pub fn in_words(&self) -> Vec<String> {
        let mut told = Vec::new();
        if let Some((after, _)) = self.missing.first() {
            let count: usize = self.missing.iter().map(|m| m.1).sum();
            told.push(format!(
                "The camera dropped {}, the first after frame {}: there the clip is measured across the gap.",
                frames(count),
                after + 1
            ));
        }
        if let Some(first) = self.doubled.first() {
            told.push(format!(
                "{} the stamp of the one before, the first is frame {}: such frames tell nothing new.",
                if self.doubled.len() == 1 { "1 frame has".into() } else { format!("{} frames have", self.doubled.len()) },
                first + 1
            ));
        }
        if let Some((from, times, _)) = self.slower.first() {
            told.push(format!(
                "From frame {} on the frames lie {times} times as far apart: this part may be slow motion, or the rest. Measure \
                 within one rate, or film the whole at one.",
                from + 1
            ));
        }
        if self.is_variable {
            told.push(
                "The frames lie unevenly in time; each is taken at its own stamp. Dropped frames cannot be told in such a clip."
                    .to_owned(),
            );
        }
        told
    }
}

/// What a person is told of pictures that stand twice in a clip, if there are any.
#[must_use]
pub fn repeated_in_words(repeated: &[u32]) -> Option<String> {
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

    fn at(rate_hz: f64, places: impl IntoIterator<Item = u32>) -> Vec<f64> {
        places.into_iter().map(|n| f64::from(n) / rate_hz).collect()
    }

    #[test]
    fn a_gap_of_whole_steps_is_so_many_missing_frames() {
        let found = stamps(&at(120.0, (0..100).filter(|n| ![10, 11, 40].contains(n))));
        assert_eq!(found.missing, [(9, 2), (37, 1)]);
        assert_eq!(found.in_words().len(), 1);
        assert!(
            found.in_words()[0]
                .starts_with("The camera dropped 3 frames, the first after frame 10:")
        );
        assert_eq!(stamps(&at(120.0, 0..100)), Stamps::default());
    }

    #[test]
    fn stamps_rounded_to_milliseconds_lack_nothing_at_any_rate_of_phones() {
        for rate_hz in [24.0, 25.0, 29.97, 30.0, 50.0, 59.94, 60.0, 120.0, 239.76, 240.0] {
            let rounded: Vec<f64> =
                at(rate_hz, 0..1000).iter().map(|s| (s * 1000.0).round() / 1000.0).collect();
            assert_eq!(stamps(&rounded), Stamps::default(), "{rate_hz}");
        }
    }

    #[test]
    fn pictures_that_stand_twice_are_counted_and_the_first_is_named() {
        assert_eq!(repeated_in_words(&[]), None);
        assert!(
            repeated_in_words(&[30])
                .unwrap()
                .starts_with("1 frame holds the picture of the one before, the first is frame 31:")
        );
        assert!(repeated_in_words(&[4, 9]).unwrap().starts_with("2 frames hold"));
    }

    #[test]
    fn frames_with_one_stamp_are_doubled_and_a_long_slow_part_is_another_rate() {
        assert_eq!(stamps(&at(60.0, [0, 1, 2, 2, 3, 4, 5, 6])).doubled, [3]);
        // A second at 240 frames/s between two halves at 30.
        let ramp = (0..15).map(|n| n * 8).chain(120..360).chain((0..15).map(|n| 360 + n * 8));
        let found = stamps(&at(240.0, ramp));
        assert_eq!((found.slower, found.missing), (vec![(0, 8, 15), (255, 8, 14)], Vec::new()));
    }

    #[test]
    fn uneven_steps_are_said_to_be_uneven_and_nothing_is_said_to_lack() {
        let uneven: Vec<f64> =
            (0..60).map(|n| (f64::from(n) + 0.4 * f64::from(n % 3)) / 30.0).collect();
        let found = stamps(&uneven);
        assert!(found.is_variable && found.missing.is_empty(), "{found:?}");
        assert_eq!(stamps(&[]), Stamps::default());
        assert_eq!(stamps(&[0.0]), Stamps::default());
        assert_eq!(stamps(&[0.0, 0.0, 0.0]), Stamps::default());
    }
}
