//! How unsure the measurement makes the moments and powers of the swinging leg.

use super::Trial;
use crate::body::{BodyModel, Landmark, Limb};
use crate::measures::motion::{MOMENTS, Moment, Places, StrideMotion};
use crate::measures::swing::free_leg_powers;
use nalgebra::{Rotation2, Vector2};

/// Moments of hip, knee and ankle, N m, then their powers, W.
pub type Six = [f64; 6];

/// The landmarks on whose places these hang.
const MARKED: [Landmark; 6] = [
    Landmark::NearHip,
    Landmark::NearKnee,
    Landmark::NearAnkle,
    Landmark::NearHeel,
    Landmark::NearToe,
    Landmark::NearShoulder,
];

/// Moments and powers at one moment of swing; none where a landmark is not known.
pub fn six(model: &BodyModel, moment: &Moment) -> Option<Six> {
    let p = free_leg_powers(model, moment)?;
    let m = p.moments;
    Some([m.hip_n_m, m.knee_n_m, m.ankle_n_m, p.hip_w, p.knee_w, p.ankle_w])
}

/// What the measurement adds to the SD of each, at the stride's 101 moments; zero while the foot is on the ground.
///
/// To first order: the leg is computed again with one marker off by its SD along one axis, with the scale off
/// by its own and with upright turned by its own, and the changes are summed as squares. A marker is off by the
/// same in all frames; noise that is new in each frame is in the spread of the strides.
/// Source: JCGM 100:2008, section 5.1.2 (law of propagation of uncertainty, changes for derivatives: 5.1.3, note 2).
pub fn measured_sd(model: &BodyModel, stride: &StrideMotion, trial: &Trial) -> Vec<Six> {
    let mut sds = vec![Six::default(); MOMENTS];
    let legs = |s: &&crate::body::Segment| matches!(s.limb, Limb::NearLeg | Limb::Trunk);
    let leg = BodyModel {
        segments: model.segments.iter().filter(legs).copied().collect(),
        whole_body: model.whole_body,
    };
    let swing = stride.moments.iter().zip(&mut sds).skip(stride.toe_off() + 1);
    for (moment, sd) in swing {
        let Some(mut trying) = Trying::new(&leg, moment) else { continue };
        trying.markers(&moment.landmarks, trial.marker_sd_m);
        trying.whole(&moment.landmarks, (1.0 + trial.scale_sd_ratio, 0.0));
        trying.whole(&moment.landmarks, (1.0, trial.vertical_sd_rad));
        *sd = trying.squares.map(f64::sqrt);
    }
    sds
}

/// One moment of which one thing after another is made wrong.
struct Trying<'a> {
    leg: &'a BodyModel,
    own: Six,
    own_lengths_m2: Vec<f64>,
    wrong: BodyModel,
    moment: Moment,
    squares: Six,
}

impl<'a> Trying<'a> {
    fn new(leg: &'a BodyModel, moment: &Moment) -> Option<Self> {
        let mut moment = moment.clone();
        moment.refresh(leg).ok()?;
        Some(Self {
            leg,
            own: six(leg, &moment)?,
            own_lengths_m2: moment.segments.iter().map(|s| s.along_m.norm_squared()).collect(),
            wrong: leg.clone(),
            moment,
            squares: Six::default(),
        })
    }

    /// Each marker off along each axis.
    fn markers(&mut self, own: &Places, marker_sd_m: f64) {
        if marker_sd_m <= 0.0 {
            return;
        }
        for landmark in MARKED {
            let Some(state) = own.get(landmark).copied() else { continue };
            for off_m in [Vector2::new(marker_sd_m, 0.0), Vector2::new(0.0, marker_sd_m)] {
                let mut moved = state;
                moved.position_m += off_m;
                self.moment.landmarks.set(landmark, moved);
                self.add();
            }
            self.moment.landmarks.set(landmark, state);
        }
    }

    /// Everything larger by a ratio and turned by an angle.
    fn whole(&mut self, own: &Places, (ratio, turned_rad): (f64, f64)) {
        if ratio == 1.0 && turned_rad == 0.0 {
            return;
        }
        let turned = Rotation2::new(turned_rad);
        self.moment.landmarks = own.clone();
        for (_, state) in self.moment.landmarks.known_mut() {
            state.position_m = turned * (state.position_m * ratio);
            state.velocity_m_s = turned * (state.velocity_m_s * ratio);
            state.acceleration_m_s2 = turned * (state.acceleration_m_s2 * ratio);
        }
        self.add();
    }

    /// Adds the squares of what has changed. A segment's inertia goes with the square of its length as measured.
    fn add(&mut self) {
        if self.moment.refresh(self.leg).is_err() {
            return;
        }
        let lengths_m2 = self.moment.segments.iter().map(|s| s.along_m.norm_squared());
        let ratios = lengths_m2.zip(&self.own_lengths_m2).map(|(now, own)| now / own);
        let segments = self.wrong.segments.iter_mut().zip(&self.leg.segments);
        for ((wrong, own), ratio) in segments.zip(ratios) {
            wrong.inertia_kg_m2 = own.inertia_kg_m2 * ratio;
        }
        let Some(changed) = six(&self.wrong, &self.moment) else { return };
        for (square, (changed, own)) in self.squares.iter_mut().zip(changed.iter().zip(self.own)) {
            *square += (changed - own).powi(2);
        }
    }
}
