//! A chain of thigh, shank and foot on a moving hip, as a body state with the near leg only.

use mechanics::body::{BodyModel, End, Joint, Landmark, Limb, Segment};
use mechanics::gait::Stride;
use mechanics::measures::energy::leg_energy_j;
use mechanics::measures::motion::{BodyState, StrideMotion};
use mechanics::signal::State;
use mechanics::space::Side;
use nalgebra::Vector2;
use serde::Deserialize;

/// The chain's segments, its hip and its motion; angles are absolute.
#[derive(Clone, Debug, Deserialize)]
pub struct Chain {
    pub lengths_m: [f64; 3],
    pub masses_kg: [f64; 3],
    pub centre_fractions: [f64; 3],
    pub inertias_kg_m2: [f64; 3],
    pub hip_m: [f64; 2],
    pub hip_m_s: [f64; 2],
    pub hip_m_s2: [f64; 2],
    pub angles_rad: [f64; 3],
    pub rates_rad_s: [f64; 3],
    pub accelerations_rad_s2: [f64; 3],
}

/// The chain's joints from the hip to its free end.
const JOINTS: [Joint; 4] = [Joint::Hip, Joint::Knee, Joint::Ankle, Joint::Toe];

impl Chain {
    pub fn mass_kg(&self) -> f64 {
        self.masses_kg.iter().sum()
    }

    /// The states of the joints, link by link.
    pub fn joints(&self) -> [State; 4] {
        let mut joints = [State {
            position_m: self.hip_m.into(),
            velocity_m_s: self.hip_m_s.into(),
            acceleration_m_s2: self.hip_m_s2.into(),
        }; 4];
        for i in 0..3 {
            let (angle, w, alpha) =
                (self.angles_rad[i], self.rates_rad_s[i], self.accelerations_rad_s2[i]);
            let along = Vector2::new(angle.cos(), angle.sin()) * self.lengths_m[i];
            let across = Vector2::new(-along.y, along.x);
            joints[i + 1] = State {
                position_m: joints[i].position_m + along,
                velocity_m_s: joints[i].velocity_m_s + across * w,
                acceleration_m_s2: joints[i].acceleration_m_s2 + across * alpha - along * (w * w),
            };
        }
        joints
    }

    pub fn model(&self, whole_body: bool) -> BodyModel {
        let of = |i: usize| End::Of(JOINTS[i], Side::Near);
        let segment = |i: usize| Segment {
            name: "link",
            limb: Limb::NearLeg,
            from: of(i),
            to: of(i + 1),
            mass_kg: self.masses_kg[i],
            centre_fraction: self.centre_fractions[i],
            inertia_kg_m2: self.inertias_kg_m2[i],
        };
        BodyModel { segments: (0..3).map(segment).collect(), whole_body }
    }

    pub fn state(&self, model: &BodyModel) -> BodyState {
        let joints = self.joints();
        let segments: Vec<_> = model
            .segments
            .iter()
            .zip(joints.windows(2))
            .map(|(segment, ends)| segment.motion(ends[0], ends[1]))
            .collect();
        let weighted = |of: fn(&State) -> Vector2<f64>| -> Vector2<f64> {
            let parts = model.segments.iter().zip(&segments);
            parts.map(|(s, m)| of(&m.centre) * (s.mass_kg / model.mass_kg())).sum()
        };
        let centre = State {
            position_m: weighted(|s| s.position_m),
            velocity_m_s: weighted(|s| s.velocity_m_s),
            acceleration_m_s2: weighted(|s| s.acceleration_m_s2),
        };
        let named = JOINTS.into_iter().map(|j| Landmark::of(j, Side::Near)).zip(joints);
        BodyState { landmarks: named.collect(), segments, centre, mid_hip: joints[0] }
    }
}

/// Energy of the leg in one body state, relative to its own centre (whole body) or to the hip.
pub fn energy_j(model: &BodyModel, state: &BodyState) -> f64 {
    let stride = Stride { side: Side::Near, start_s: 0.0, toe_off_s: 0.4, end_s: 1.0 };
    leg_energy_j(model, &StrideMotion { stride, samples: vec![state.clone()] })[0]
}
