//! The positions of a trial, frame by frame, in metres.

use super::writer::Writer;
use crate::results::analyse::metres;
use crate::results::landmark::landmark_key;
use crate::session::{Certainty, Trial};

/// One row a frame: `t_s`, then `_x_m`, `_y_m` and `_certainty` of each landmark, unfiltered; x is forward, y is up.
///
/// None while scale or direction are missing.
#[must_use]
pub fn positions(trial: &Trial) -> Option<String> {
    let points = metres(trial)?;
    let mut writer = Writer::default();
    writer.text("frame").text("t_s");
    for landmark in points.keys() {
        let key = landmark_key(*landmark);
        writer.text(&format!("{key}_x_m")).text(&format!("{key}_y_m"));
        writer.text(&format!("{key}_certainty"));
    }
    writer.end_row();
    for (frame, time_s) in trial.times_s().into_iter().enumerate() {
        writer.cell(&frame.to_string()).number(Some(time_s), 6);
        for (landmark, positions) in &points {
            let point = positions.get(frame).copied().flatten();
            let sample = trial.tracks.get(landmark).and_then(|t| t.samples.get(frame)?.as_ref());
            writer.number(point.map(|p| p.x_m), 5).number(point.map(|p| p.y_m), 5);
            writer.text(sample.map_or("", |s| certainty_label(s.certainty)));
        }
        writer.end_row();
    }
    Some(writer.text)
}

fn certainty_label(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::Placed => "placed",
        Certainty::Seen => "seen",
        Certainty::Doubtful => "doubtful",
        Certainty::Coasting => "hidden",
    }
}
