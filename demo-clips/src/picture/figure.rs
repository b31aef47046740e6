//! The runner in layers from the far side to the near one, and which landmarks are visible.

use super::camera::Camera;
use super::canvas::{Canvas, Window};
use super::cloth::{Cloth, Wardrobe};
use super::head;
use super::layer::{Layer, paint_sticker};
use super::outline::{Girth, Outline, girth};
use crate::body::{Arm, HEEL_END_M, Leg, Point, Shoe, Side, Skeleton, TOE_ARC_RAD};
use crate::motion::Motion;

// Chosen: the girths of limbs and clothes, drawn by eye on a body of 1.74 m.

const THIGH: [Girth; 4] = [
    girth(0.0, 0.088, 0.098),
    girth(0.35, 0.086, 0.084),
    girth(0.75, 0.066, 0.062),
    girth(1.0, 0.054, 0.054),
];
const SHORTS: [Girth; 3] =
    [girth(0.0, 0.096, 0.108), girth(0.6, 0.098, 0.102), girth(1.0, 0.094, 0.094)];
const SHANK: [Girth; 4] = [
    girth(0.0, 0.053, 0.052),
    girth(0.30, 0.044, 0.068),
    girth(0.72, 0.033, 0.042),
    girth(1.0, 0.034, 0.036),
];
const SOCK: [Girth; 2] = [girth(0.0, 0.036, 0.042), girth(1.0, 0.040, 0.040)];
const TRUNK: [Girth; 5] = [
    girth(0.0, 0.074, 0.086),
    girth(0.25, 0.112, 0.108),
    girth(0.62, 0.100, 0.092),
    girth(0.85, 0.100, 0.104),
    girth(1.0, 0.096, 0.114),
];
const WAIST: [Girth; 2] = [girth(0.0, 0.102, 0.108), girth(1.0, 0.098, 0.118)];
const UPPER_ARM: [Girth; 3] =
    [girth(0.0, 0.048, 0.050), girth(0.45, 0.044, 0.042), girth(1.0, 0.035, 0.037)];
const SLEEVE: [Girth; 2] = [girth(0.0, 0.060, 0.062), girth(1.0, 0.055, 0.056)];
const FOREARM: [Girth; 3] =
    [girth(0.0, 0.036, 0.036), girth(0.25, 0.040, 0.038), girth(1.0, 0.026, 0.026)];
const HAND: [Girth; 3] =
    [girth(0.0, 0.030, 0.028), girth(0.5, 0.040, 0.036), girth(1.0, 0.032, 0.030)];

/// Brightness of the far side over the near one. Chosen: clearly darker.
const FAR_SHADE_RATIO: f64 = 0.66;

/// A landmark of the ground truth.
#[derive(Clone, Copy, Debug)]
pub struct Landmark {
    /// Its name, as the application writes it.
    pub name: &'static str,
    /// Its position.
    pub position: fn(&Skeleton) -> Point,
    /// How many groups of layers are behind it.
    depth: usize,
}

const fn landmark(name: &'static str, depth: usize, position: fn(&Skeleton) -> Point) -> Landmark {
    Landmark { name, position, depth }
}

impl Landmark {
    /// The near leg, the near arm, the head, then the far side. Exact: the landmarks of the app.
    pub const ALL: [Landmark; 17] = [
        landmark("near_hip", 5, |s| s.hip),
        landmark("near_knee", 5, |s| s.legs.near.knee),
        landmark("near_ankle", 5, |s| s.legs.near.ankle),
        landmark("near_heel", 5, |s| s.legs.near.heel),
        landmark("near_toe", 5, |s| s.legs.near.toe),
        landmark("near_shoulder", 6, |s| s.shoulder),
        landmark("near_elbow", 6, |s| s.arms.near.elbow),
        landmark("near_wrist", 6, |s| s.arms.near.wrist),
        landmark("head", 5, |s| s.head),
        landmark("far_hip", 2, |s| s.hip),
        landmark("far_knee", 2, |s| s.legs.far.knee),
        landmark("far_ankle", 2, |s| s.legs.far.ankle),
        landmark("far_heel", 2, |s| s.legs.far.heel),
        landmark("far_toe", 2, |s| s.legs.far.toe),
        landmark("far_shoulder", 1, |s| s.shoulder),
        landmark("far_elbow", 1, |s| s.arms.far.elbow),
        landmark("far_wrist", 1, |s| s.arms.far.wrist),
    ];

    /// How many of them, from the first, carry a sticker. Exact: those of the near side and the head.
    pub const STICKERS: usize = 9;
}

/// The runner at one instant, ready to be painted.
#[derive(Clone, Debug)]
pub struct Figure {
    skeleton: Skeleton,
    /// Far arm, far leg, trunk, head, near leg, near arm.
    groups: [Vec<Layer>; 6],
}

impl Figure {
    /// The runner at a time.
    #[must_use]
    pub fn at(motion: &Motion, time_s: f64) -> Self {
        let (pose, shoe) = (motion.pose(time_s), motion.shoe());
        let skeleton = Skeleton::of(&pose, motion.lengths(), shoe);
        let leg = |side: Side| {
            leg_layers(skeleton.hip, &skeleton.legs.of(side), pose.legs.of(side).foot_rad, shoe)
        };
        let arm = |side: Side| arm_layers(skeleton.shoulder, &skeleton.arms.of(side));
        let groups = [
            shaded(arm(Side::Far)),
            shaded(leg(Side::Far)),
            trunk_layers(&skeleton),
            head::layers(&skeleton, pose.head_rad - 0.10),
            leg(Side::Near),
            arm(Side::Near),
        ];
        Self { skeleton, groups }
    }

    /// The landmarks under the clothes.
    #[must_use]
    pub fn skeleton(&self) -> &Skeleton {
        &self.skeleton
    }

    /// Whether nothing covers the landmark.
    #[must_use]
    pub fn shows(&self, landmark: &Landmark) -> bool {
        let point = (landmark.position)(&self.skeleton);
        !self.groups.iter().skip(landmark.depth).flatten().any(|layer| layer.covers(point))
    }

    /// Paints the runner.
    pub fn paint(&self, canvas: &mut Canvas, camera: &Camera, wardrobe: &Wardrobe, stickers: bool) {
        for (depth, group) in self.groups.iter().enumerate() {
            for layer in group {
                layer.paint(canvas, camera, wardrobe);
            }
            let with_sticker = Landmark::ALL.iter().take(Landmark::STICKERS);
            for landmark in with_sticker.filter(|l| stickers && l.depth == depth + 1) {
                let centre_px = camera.to_px((landmark.position)(&self.skeleton));
                paint_sticker(canvas, &wardrobe.sticker, centre_px);
            }
        }
    }

    /// The pixels that the runner can cover.
    #[must_use]
    pub fn window(&self, camera: &Camera) -> Window {
        let landmarks_px: Vec<_> = Landmark::ALL
            .iter()
            .map(|landmark| camera.to_px((landmark.position)(&self.skeleton)))
            .collect();
        // Chosen: nothing of the body is further than 0.22 m from a landmark.
        Window::around(&landmarks_px, 0.22 * camera.px_per_m)
    }
}

fn shaded(mut layers: Vec<Layer>) -> Vec<Layer> {
    for layer in &mut layers {
        layer.shade_ratio *= FAR_SHADE_RATIO;
    }
    layers
}

fn trunk_layers(skeleton: &Skeleton) -> Vec<Layer> {
    let (shoulder, hip) = (skeleton.shoulder, skeleton.hip);
    vec![
        Layer::limb(shoulder.towards(hip, 0.80), hip, &WAIST, Cloth::Shorts),
        Layer::limb(shoulder, shoulder.towards(hip, 0.86), &TRUNK, Cloth::Shirt),
    ]
}

fn arm_layers(shoulder: Point, arm: &Arm) -> Vec<Layer> {
    vec![
        Layer::limb(arm.wrist, arm.hand, &HAND, Cloth::Skin),
        Layer::limb(arm.elbow, arm.wrist, &FOREARM, Cloth::Skin),
        Layer::limb(shoulder, arm.elbow, &UPPER_ARM, Cloth::Skin),
        Layer::limb(shoulder, shoulder.towards(arm.elbow, 0.42), &SLEEVE, Cloth::Shirt),
    ]
}

fn leg_layers(hip: Point, leg: &Leg, foot_rad: f64, shoe: &Shoe) -> Vec<Layer> {
    let foot = |corners: Vec<Point>, cloth: Cloth| Layer {
        origin: leg.ankle,
        turn_rad: foot_rad,
        outline: Outline::Polygon { corners, round_m: 0.004 },
        cloth,
        shade_ratio: 1.0,
    };
    vec![
        Layer::limb(leg.knee, leg.ankle, &SHANK, Cloth::Skin),
        Layer::limb(leg.knee.towards(leg.ankle, 0.76), leg.ankle, &SOCK, Cloth::Sock),
        foot(upper_of(shoe), Cloth::Shoe),
        foot(sole_of(shoe), Cloth::Sole),
        Layer::limb(hip, leg.knee, &THIGH, Cloth::Skin),
        Layer::limb(hip, hip.towards(leg.knee, 0.46), &SHORTS, Cloth::Shorts),
    ]
}

/// The underside of the shoe from the heel to the tip of the toe, raised by a thickness.
fn underside(shoe: &Shoe, raised_m: f64) -> Vec<Point> {
    let low_m = raised_m - shoe.ankle_height_m;
    let mut points = vec![Point::new(HEEL_END_M, low_m)];
    for i in 0..=6 {
        let angle_rad = TOE_ARC_RAD * f64::from(i) / 6.0;
        let radius_m = shoe.toe_radius_m - raised_m;
        points.push(Point::new(
            shoe.ball_m + radius_m * angle_rad.sin(),
            low_m + radius_m * (1.0 - angle_rad.cos()),
        ));
    }
    points
}

fn sole_of(shoe: &Shoe) -> Vec<Point> {
    let mut corners = underside(shoe, 0.004);
    corners.extend(underside(shoe, 0.021).into_iter().rev());
    corners
}

fn upper_of(shoe: &Shoe) -> Vec<Point> {
    let mut corners = underside(shoe, 0.006);
    for (x_m, y_m) in [
        (0.196, -0.040),
        (0.172, -0.022),
        (0.120, -0.006),
        (0.074, 0.010),
        (0.040, 0.020),
        (-0.040, 0.018),
        (-0.060, 0.006),
        (-0.066, -0.030),
        (-0.068, -0.066),
    ] {
        corners.push(Point::new(x_m, y_m));
    }
    corners
}
