//! Before the work: whether a following holds the shoe, and how far it is blurred where it moves fastest.

use super::follow::marker;
use crate::ui::steps::clip::is_slow;
use document::session::{MarkerMode, Trial};
use jobs::{FollowPlan, Tryout, tryout_plan};
use mechanics::body::Landmark;

/// The shoe's landmarks in the order in which they are asked for: its own before the ankle above it.
const SHOE: [Landmark; 3] = [Landmark::NearHeel, Landmark::NearToe, Landmark::NearAnkle];
/// Chosen: in made clips (four runners of nine stickers each, at 60 and 120 frames/s) blurs of 2 to 8 px took up to 2.5
/// corrections in a hundred frames, one of 14 px took 14.
const BLURRED_PX: f64 = 10.0;
/// Chosen: a share of frames in doubt that is work to go through.
const UNSURE_RATIO: f64 = 0.1;

/// What is tried out of a trial whose markers are not followed yet: the first mark of the shoe.
#[must_use]
pub fn to_be_tried(trial: &Trial) -> Option<FollowPlan> {
    if trial.tracks.values().any(|t| t.followed.is_some()) {
        return None;
    }
    let marker = SHOE.into_iter().find_map(|l| marker(trial, l))?;
    tryout_plan(marker, &trial.times_s())
}

/// What came of it, and whether to expect work by hand.
#[must_use]
pub fn in_words(tryout: &Tryout, rate_hz: Option<f64>) -> String {
    let Tryout { frames, unsure, .. } = *tryout;
    let held = match unsure {
        0 => "held in every one".to_owned(),
        n => format!("in doubt in {n} of them"),
    };
    let blurred = match (tryout.blur, tryout.mode) {
        (Some(blur), _) => {
            let more = if blur.may_be_more { " or more" } else { "" };
            format!("blurred over {:.0} px{more} where it moves fastest", blur.length_px)
        }
        (None, MarkerMode::Skin) => "its blur cannot be measured without a sticker".to_owned(),
        (None, MarkerMode::Sticker) => "its blur could not be measured".to_owned(),
    };
    let is_blurred = tryout.blur.is_some_and(|b| b.length_px >= BLURRED_PX);
    let is_unsure = f64::from(unsure) > UNSURE_RATIO * f64::from(frames);
    let advice = match (is_blurred, is_unsure) {
        (true, _) => {
            "Expect to put marks of the feet right by hand. A shorter shutter, 1/500 s, in more light blurs them less."
        }
        (false, true) if tryout.mode == MarkerMode::Skin => {
            "Expect to put marks of the feet right by hand. A sticker is held better."
        }
        (false, true) => "Expect to put marks of the feet right by hand.",
        (false, false) if rate_hz.is_some_and(is_slow) => {
            "At this frame rate expect to put marks of the feet right by hand all the same."
        }
        (false, false) if tryout.mode == MarkerMode::Skin => {
            "Little work by hand is to be expected there; joints on skin may need more."
        }
        (false, false) => "Little work by hand is to be expected there.",
    };
    format!("Tried out on {} over {frames} frames: {held}, {blurred}. {advice}", tryout.landmark)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jobs::Blur;

    fn said(mode: MarkerMode, unsure: u32, blur: Option<(f64, bool)>) -> String {
        let blur = blur.map(|(length_px, may_be_more)| Blur { length_px, may_be_more });
        let tryout = Tryout { landmark: Landmark::NearHeel, mode, frames: 90, unsure, blur };
        in_words(&tryout, Some(60.0))
    }

    #[test]
    fn work_by_hand_is_expected_of_what_is_blurred_or_often_in_doubt() {
        let (sticker, skin) = (MarkerMode::Sticker, MarkerMode::Skin);
        let sharp = said(sticker, 0, Some((2.3, false)));
        assert!(sharp.contains("over 90 frames: held in every one, blurred over 2 px where"));
        assert!(sharp.contains("Little work by hand"), "{sharp}");
        let blurred = said(sticker, 3, Some((14.0, true)));
        assert!(blurred.contains("in doubt in 3 of them, blurred over 14 px or more"));
        assert!(blurred.contains("shorter shutter"), "{blurred}");
        let tryout = Tryout {
            landmark: Landmark::NearHeel,
            mode: sticker,
            frames: 24,
            unsure: 0,
            blur: None,
        };
        assert!(in_words(&tryout, Some(30.0)).contains("At this frame rate expect"));
        assert!(in_words(&tryout, None).contains("Little work"));
        assert!(said(sticker, 10, None).contains("Expect to put"));
        let skin = said(skin, 10, None);
        assert!(skin.contains("cannot be measured without a sticker"), "{skin}");
        assert!(skin.contains("A sticker is held better"), "{skin}");
        assert!(said(MarkerMode::Skin, 0, None).contains("joints on skin may need more"));
    }
}
