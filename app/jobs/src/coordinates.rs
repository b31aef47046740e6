//! Between the upright picture of the session and the coded picture of the tracker.

use document::session::{Certainty, TrackSample};
use mechanics::space::Pixel;
use media::Picture;
use tracking::image::ImagePoint;
use tracking::track::{Sample, State};

/// A place of the upright picture, in the coded picture.
pub(crate) fn coded_from_upright(picture: &Picture, at: Pixel) -> ImagePoint {
    let at = picture.coded_from_upright(at);
    ImagePoint { x_px: at.x_px, y_px: at.y_px }
}

/// A place of the coded picture, in the upright picture.
pub(crate) fn upright_from_coded(picture: &Picture, at: ImagePoint) -> Pixel {
    picture.upright_from_coded(Pixel { x_px: at.x_px, y_px: at.y_px })
}

/// A sample of the session, as the tracker knows it.
pub(crate) fn coded_sample(picture: &Picture, sample: &TrackSample) -> Sample {
    let state = match sample.certainty {
        Certainty::Placed => State::Placed,
        Certainty::Seen => State::Seen,
        Certainty::Doubtful => State::Doubtful,
        Certainty::Coasting => State::Coasting,
    };
    Sample { at: coded_from_upright(picture, sample.at), state, p_wrong: sample.p_wrong }
}

/// A sample of the tracker, as the session saves it; none for a lost one.
pub(crate) fn upright_sample(picture: &Picture, sample: &Sample) -> Option<TrackSample> {
    let certainty = match sample.state {
        State::Placed => Certainty::Placed,
        State::Seen => Certainty::Seen,
        State::Doubtful => Certainty::Doubtful,
        State::Coasting => Certainty::Coasting,
        State::Lost => return None,
    };
    let at = upright_from_coded(picture, sample.at);
    let is_finite = at.x_px.is_finite() && at.y_px.is_finite() && sample.p_wrong.is_finite();
    is_finite.then(|| TrackSample::new(at, certainty, sample.p_wrong))
}
