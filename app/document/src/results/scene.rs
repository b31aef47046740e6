//! What is drawn over the image of one frame, and the two mean figures side by side.

use crate::session::{Certainty, Track, Trial};
use mechanics::analysis::Figure;
use mechanics::body::Landmark;
use mechanics::space::{Pixel, Point, Side};
use std::collections::BTreeMap;

use Landmark as L;

/// The lines of the stick figure, far side first so that the near side is drawn over it.
const LINES: [(Landmark, Landmark); 17] = [
    (L::FarShoulder, L::FarElbow),
    (L::FarElbow, L::FarWrist),
    (L::FarShoulder, L::FarHip),
    (L::FarHip, L::FarKnee),
    (L::FarKnee, L::FarAnkle),
    (L::FarAnkle, L::FarHeel),
    (L::FarHeel, L::FarToe),
    (L::FarAnkle, L::FarToe),
    (L::Head, L::NearShoulder),
    (L::NearShoulder, L::NearHip),
    (L::NearHip, L::NearKnee),
    (L::NearKnee, L::NearAnkle),
    (L::NearAnkle, L::NearHeel),
    (L::NearHeel, L::NearToe),
    (L::NearAnkle, L::NearToe),
    (L::NearShoulder, L::NearElbow),
    (L::NearElbow, L::NearWrist),
];

/// A landmark in a frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScenePoint {
    /// The landmark.
    pub landmark: Landmark,
    /// Its position.
    pub at: Pixel,
    /// Its certainty: seen is drawn filled, doubtful half filled, coasting open.
    pub certainty: Certainty,
    /// Probability of an error over 6 px.
    pub p_wrong: f64,
    /// Whether a person placed it in this frame.
    pub is_keyframe: bool,
}

/// A line of the figure in a frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SceneLine {
    /// One end.
    pub from: Pixel,
    /// The other end.
    pub to: Pixel,
    /// Side of the body; none from the head.
    pub side: Option<Side>,
    /// Whether both ends were placed or seen.
    pub is_sure: bool,
}

/// All that is drawn over the image of a frame.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scene {
    /// The landmarks known in this frame.
    pub points: Vec<ScenePoint>,
    /// The lines whose two ends are known.
    pub lines: Vec<SceneLine>,
}

/// What is drawn over the image of this frame.
#[must_use]
pub fn scene(trial: &Trial, frame: u32) -> Scene {
    let known: BTreeMap<Landmark, ScenePoint> = trial
        .tracks
        .iter()
        .filter_map(|(landmark, track)| Some((*landmark, scene_point(*landmark, track, frame)?)))
        .collect();
    let lines = LINES.iter().filter_map(|(a, b)| {
        let (from, to) = (known.get(a)?, known.get(b)?);
        let sure = |p: &ScenePoint| matches!(p.certainty, Certainty::Placed | Certainty::Seen);
        Some(SceneLine {
            from: from.at,
            to: to.at,
            side: a.side(),
            is_sure: sure(from) && sure(to),
        })
    });
    Scene { lines: lines.collect(), points: known.into_values().collect() }
}

fn scene_point(landmark: Landmark, track: &Track, frame: u32) -> Option<ScenePoint> {
    let sample = track.sample(frame)?;
    (sample.at.x_px.is_finite() && sample.at.y_px.is_finite()).then(|| ScenePoint {
        landmark,
        at: sample.at,
        certainty: sample.certainty,
        p_wrong: sample.p_wrong,
        is_keyframe: track.keyframes.contains_key(&frame),
    })
}

/// The path of a landmark over the frames around this one, in pieces without gaps.
#[must_use]
pub fn trail(trial: &Trial, landmark: Landmark, frame: u32, reach: u32) -> Vec<Vec<Pixel>> {
    let Some(track) = trial.tracks.get(&landmark) else { return Vec::new() };
    let mut pieces = vec![Vec::new()];
    for at in frame.saturating_sub(reach)..=frame.saturating_add(reach) {
        if at as usize >= track.samples.len() {
            break;
        }
        match (scene_point(landmark, track, at), pieces.last_mut()) {
            (Some(point), Some(piece)) => piece.push(point.at),
            _ => pieces.push(Vec::new()),
        }
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

/// A drawing area with its origin at the top left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Width.
    pub width_px: f64,
    /// Height.
    pub height_px: f64,
}

/// One mean figure at one phase, in the pixels of its area.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PhaseFigure {
    /// Its joints.
    pub joints: Vec<(Landmark, Pixel)>,
    /// Its lines.
    pub lines: Vec<(Pixel, Pixel, Option<Side>)>,
}

/// The mean figures of one or two trials at one phase of the stride, midpoints of the hips superimposed, running to
/// the right.
///
/// `phase` goes from 0 (contact) to 1 (next contact of the same foot). All figures and phases have one scale, so that
/// nothing jumps while it plays.
#[must_use]
pub fn phase_figures(figures: &[&Figure], phase: f64, area: Area) -> Vec<PhaseFigure> {
    let bounds = Bounds::of(figures);
    figures.iter().map(|figure| phase_figure(figure, phase, &bounds, area)).collect()
}

/// The path of one landmark of each mean figure through the whole stride, in the same pixels.
#[must_use]
pub fn phase_trails(figures: &[&Figure], landmark: Landmark, area: Area) -> Vec<Vec<Pixel>> {
    let bounds = Bounds::of(figures);
    let trail = |figure: &&Figure| {
        let points = figure.get(&landmark).map_or(&[][..], Vec::as_slice);
        points.iter().filter(|p| is_finite(p)).map(|p| bounds.to_area(*p, area)).collect()
    };
    figures.iter().map(trail).collect()
}

fn phase_figure(figure: &Figure, phase: f64, bounds: &Bounds, area: Area) -> PhaseFigure {
    let at = |landmark: &Landmark| {
        let point = between(figure.get(landmark)?, phase)?;
        Some(bounds.to_area(point, area))
    };
    PhaseFigure {
        joints: figure.keys().filter_map(|l| Some((*l, at(l)?))).collect(),
        lines: LINES.iter().filter_map(|(a, b)| Some((at(a)?, at(b)?, a.side()))).collect(),
    }
}

/// The point at a phase from 0 to 1, interpolated linearly between the two nearest points of the mean figure.
fn between(points: &[Point], phase: f64) -> Option<Point> {
    let last = points.len().checked_sub(1)?;
    let phase = if phase.is_finite() { phase.clamp(0.0, 1.0) } else { 0.0 };
    let place = phase * last as f64;
    let before = place.floor();
    let (from, to) = (points.get(before as usize)?, points.get((before as usize + 1).min(last))?);
    let part = place - before;
    let point = from.between(*to, part);
    is_finite(&point).then_some(point)
}

fn is_finite(point: &Point) -> bool {
    point.x_m.is_finite() && point.y_m.is_finite()
}

/// The bounding box of all figures, relative to the hip.
struct Bounds {
    low: Point,
    high: Point,
}

impl Bounds {
    fn of(figures: &[&Figure]) -> Self {
        let start = Self { low: Point::ORIGIN, high: Point::ORIGIN };
        let all = figures.iter().flat_map(|f| f.values()).flatten().filter(|p| is_finite(p));
        all.fold(start, |b, p| Self { low: b.low.least(*p), high: b.high.greatest(*p) })
    }

    fn to_area(&self, point: Point, area: Area) -> Pixel {
        /// Part of the area left free at each edge. Chosen: room for a joint's outline.
        const MARGIN: f64 = 0.06;
        let (wide_m, tall_m) = (self.high.x_m - self.low.x_m, self.high.y_m - self.low.y_m);
        let px_per_m = (area.width_px / wide_m.max(0.1)).min(area.height_px / tall_m.max(0.1))
            * (1.0 - 2.0 * MARGIN);
        let middle_x_m = self.low.x_m + wide_m / 2.0;
        let middle_y_m = self.low.y_m + tall_m / 2.0;
        Pixel {
            x_px: area.width_px / 2.0 + (point.x_m - middle_x_m) * px_per_m,
            y_px: area.height_px / 2.0 - (point.y_m - middle_y_m) * px_per_m,
        }
    }
}
