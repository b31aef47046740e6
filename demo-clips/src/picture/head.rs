//! The head: neck, face, hair, ear and eye, with the ear as its origin.

use super::cloth::Cloth;
use super::layer::Layer;
use super::outline::{Girth, Outline, girth};
use crate::body::{Point, Skeleton};

// Chosen: neck, face and hair, drawn by eye.

const NECK: [Girth; 2] = [girth(0.0, 0.058, 0.062), girth(1.0, 0.046, 0.056)];

/// Outline of the face from the nape over the crown to the chin: forward and up from the ear.
const FACE_M: [(f64, f64); 17] = [
    (-0.070, -0.012),
    (-0.080, 0.060),
    (-0.056, 0.102),
    (0.000, 0.120),
    (0.052, 0.112),
    (0.084, 0.084),
    (0.093, 0.046),
    (0.089, 0.028),
    (0.112, -0.012),
    (0.098, -0.020),
    (0.101, -0.034),
    (0.096, -0.044),
    (0.098, -0.052),
    (0.094, -0.078),
    (0.066, -0.088),
    (0.016, -0.062),
    (-0.030, -0.050),
];

/// Outline of the hair, in the same frame.
const HAIR_M: [(f64, f64); 13] = [
    (0.086, 0.090),
    (0.058, 0.120),
    (0.000, 0.131),
    (-0.058, 0.113),
    (-0.088, 0.064),
    (-0.084, 0.000),
    (-0.062, -0.040),
    (-0.034, -0.036),
    (-0.024, 0.018),
    (0.008, 0.010),
    (0.016, 0.050),
    (0.040, 0.070),
    (0.070, 0.074),
];

/// The layers of neck and head, from back to front.
#[must_use]
pub fn layers(skeleton: &Skeleton, lean_rad: f64) -> Vec<Layer> {
    let (ear, shoulder) = (skeleton.head, skeleton.shoulder);
    let at = |forward_m: f64, up_m: f64| ear.offset(Point::new(forward_m, up_m), -lean_rad);
    let shape = |origin: Point, outline: Outline, cloth: Cloth, shade_ratio: f64| Layer {
        origin,
        turn_rad: -lean_rad,
        outline,
        cloth,
        shade_ratio,
    };
    let ellipse = |along_m: f64, across_m: f64| Outline::Ellipse { along_m, across_m };
    let neck_top = at(-0.012, -0.02);
    let mut neck = Layer::limb(shoulder.towards(neck_top, 0.15), neck_top, &NECK, Cloth::Skin);
    neck.shade_ratio = 0.90;
    vec![
        neck,
        shape(ear, closed(&FACE_M), Cloth::Skin, 1.04),
        shape(ear, closed(&HAIR_M), Cloth::Hair, 1.0),
        shape(at(-0.004, 0.002), ellipse(0.018, 0.030), Cloth::Skin, 0.96),
        shape(at(0.074, 0.022), ellipse(0.009, 0.007), Cloth::Hair, 0.7),
        shape(at(0.078, 0.044), ellipse(0.015, 0.006), Cloth::Hair, 0.9),
        shape(at(0.090, -0.040), ellipse(0.011, 0.0035), Cloth::Skin, 0.62),
    ]
}

fn closed(corners_m: &[(f64, f64)]) -> Outline {
    let corners = corners_m.iter().map(|&(x_m, y_m)| Point::new(x_m, y_m)).collect();
    Outline::Polygon { corners, round_m: 0.007 }
}
