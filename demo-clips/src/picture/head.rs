//! The head: neck, face, hair and ear, drawn about the ear.

use super::cloth::Cloth;
use super::figure::Layer;
use super::outline::{Outline, girth};
use crate::body::{Point, Skeleton};

const NECK: [super::outline::Girth; 2] = [girth(0.0, 0.058, 0.062), girth(1.0, 0.048, 0.054)];

/// The layers of neck and head, back to front.
#[must_use]
pub fn layers(skeleton: &Skeleton, lean_rad: f64) -> Vec<Layer> {
    let (ear, shoulder) = (skeleton.head, skeleton.shoulder);
    let place = |forward_m: f64, up_m: f64| ear.offset(Point::new(forward_m, up_m), -lean_rad);
    let ellipse = |at: Point, along_m: f64, across_m: f64, cloth: Cloth| Layer {
        origin: at,
        turn_rad: -lean_rad,
        outline: Outline::Ellipse { along_m, across_m },
        cloth,
        shade_ratio: 1.0,
    };
    let neck_top = place(-0.015, -0.02);
    let mut neck = Layer::limb(shoulder.towards(neck_top, 0.15), neck_top, &NECK, Cloth::Skin);
    neck.shade_ratio = 0.92;
    let nose = Outline::Polygon {
        corners: vec![
            Point::new(0.098, 0.022),
            Point::new(0.124, -0.028),
            Point::new(0.096, -0.034),
        ],
        round_m: 0.006,
    };
    vec![
        neck,
        ellipse(place(-0.012, 0.044), 0.104, 0.096, Cloth::Hair),
        Layer { outline: nose, ..ellipse(ear, 0.0, 0.0, Cloth::Skin) },
        ellipse(place(0.034, -0.058), 0.066, 0.058, Cloth::Skin),
        ellipse(place(0.030, 0.006), 0.078, 0.100, Cloth::Skin),
        ellipse(place(0.004, 0.078), 0.090, 0.048, Cloth::Hair),
        ellipse(place(-0.054, 0.030), 0.050, 0.074, Cloth::Hair),
        ellipse(place(-0.002, 0.0), 0.020, 0.030, Cloth::Skin),
    ]
}
