//! The preview before the work: whether the tracker holds the shoe's mark, how far motion blurs it, and how much
//! correction to expect.

use super::clip::is_low_rate;
use document::session::MarkerMode;
use jobs::{Blur, Tryout};

/// Chosen: in made clips (four runners of nine stickers each, at 60 and 120 frames/s) blurs of 2 to 8 px took up to 2.5
/// corrections in a hundred frames, one of 14 px took 14.
const BLURRED_PX: f64 = 10.0;
/// Chosen: with this share of frames in doubt, going through them is work.
const UNSURE_RATIO: f64 = 0.1;

/// The result of a preview, and the correction to expect.
#[must_use]
pub fn sentence(tryout: &Tryout, rate_hz: Option<f64>) -> String {
    let held = match tryout.unsure {
        0 => "held in every one".to_owned(),
        n => format!("in doubt in {n} of them"),
    };
    format!(
        "Tried out on {} over {} frames: {held}, {}. {}",
        tryout.landmark,
        tryout.frames,
        blur(tryout.blur, tryout.mode),
        advice(tryout, rate_hz)
    )
}

fn blur(blur: Option<Blur>, mode: MarkerMode) -> String {
    match (blur, mode) {
        (Some(Blur { length_px, may_be_more: true }), _) => {
            format!("blurred over {length_px:.0} px or more where it moves fastest")
        }
        (Some(Blur { length_px, may_be_more: false }), _) => {
            format!("blurred over {length_px:.0} px where it moves fastest")
        }
        (None, MarkerMode::Skin) => "its blur cannot be measured without a sticker".to_owned(),
        (None, MarkerMode::Sticker) => "its blur could not be measured".to_owned(),
    }
}

fn advice(tryout: &Tryout, rate_hz: Option<f64>) -> &'static str {
    let is_blurred = tryout.blur.is_some_and(|b| b.length_px >= BLURRED_PX);
    let is_unsure = f64::from(tryout.unsure) > UNSURE_RATIO * f64::from(tryout.frames);
    match (is_blurred, is_unsure, tryout.mode) {
        (true, ..) => {
            "Expect to correct marks of the feet by hand. A shorter shutter, 1/500 s, in more light blurs them less."
        }
        (false, true, MarkerMode::Skin) => {
            "Expect to correct marks of the feet by hand. A sticker is held better."
        }
        (false, true, MarkerMode::Sticker) => "Expect to correct marks of the feet by hand.",
        (false, false, _) if rate_hz.is_some_and(is_low_rate) => {
            "At this frame rate expect to correct marks of the feet by hand all the same."
        }
        (false, false, MarkerMode::Skin) => {
            "Expect little correction there; joints on skin may need more."
        }
        (false, false, MarkerMode::Sticker) => "Expect little correction there.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use mechanics::body::Landmark;

    fn tryout(mode: MarkerMode, unsure: u32, blur: Option<Blur>) -> Tryout {
        Tryout { landmark: Landmark::NearHeel, mode, frames: 90, unsure, blur }
    }

    fn text(tryout: Tryout) -> String {
        sentence(&tryout, Some(60.0))
    }

    #[test]
    fn a_blurred_or_often_doubtful_mark_means_correction_by_hand() {
        let (sticker, skin) = (MarkerMode::Sticker, MarkerMode::Skin);
        let sharp = Blur { length_px: 2.3, may_be_more: false };
        let sharp = text(tryout(sticker, 0, Some(sharp)));
        assert!(sharp.contains("over 90 frames: held in every one, blurred over 2 px where"));
        assert!(sharp.contains("little correction"), "{sharp}");
        let blurred = Blur { length_px: 14.0, may_be_more: true };
        let blurred = text(tryout(sticker, 3, Some(blurred)));
        assert!(blurred.contains("in doubt in 3 of them, blurred over 14 px or more"));
        assert!(blurred.contains("shorter shutter"), "{blurred}");
        assert!(text(tryout(sticker, 10, None)).contains("Expect to correct"));
        let skin_in_doubt = text(tryout(skin, 10, None));
        assert!(skin_in_doubt.contains("cannot be measured without a sticker"), "{skin_in_doubt}");
        assert!(skin_in_doubt.contains("A sticker is held better"), "{skin_in_doubt}");
        assert!(text(tryout(skin, 0, None)).contains("joints on skin may need more"));
    }

    #[test]
    fn a_low_frame_rate_means_correction_however_well_the_mark_was_held() {
        let held = Tryout { frames: 24, ..tryout(MarkerMode::Sticker, 0, None) };
        assert!(sentence(&held, Some(30.0)).contains("At this frame rate expect"));
        assert!(sentence(&held, None).contains("little correction"));
    }
}
