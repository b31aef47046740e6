//! Clothes and skin: colours, weave and shading that move with the limb.

use super::canvas::Colour;
use crate::body::Point;
use crate::noise::texture;

/// The material of a surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is the material it names")]
pub enum Cloth {
    Skin,
    Hair,
    Shirt,
    Shorts,
    Sock,
    Shoe,
    Sole,
}

/// The colours of one clip. The shirts of both styles have nearly the same lightness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wardrobe {
    /// Colour of the shirt.
    pub shirt: Colour,
    /// Colour of the skin.
    pub skin: Colour,
    /// Contrast of weave and folds over that of the committed clips.
    pub weave_ratio: f64,
    /// The stickers.
    pub sticker: Sticker,
    /// Seed of every texture.
    pub seed: u64,
}

/// A round sticker: a rim around a core of another colour; with a core of radius 0 it is plain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sticker {
    /// Outer radius, where the coverage ends.
    pub outer_px: f64,
    /// Radius of the core.
    pub core_px: f64,
    /// Colour of the rim.
    pub rim: Colour,
    /// Colour of the core.
    pub core: Colour,
}

impl Sticker {
    /// White. Chosen: a little below full level, so that noise is not clipped.
    pub const WHITE: Colour = [244.0, 244.0, 240.0];
    /// Nearly black. Chosen: a little above level 0, so that noise is not clipped.
    pub const DARK: Colour = [24.0, 22.0, 26.0];
    /// The sticker of the committed clips. Chosen: a white ring around a dark core, 14 pixels across at half coverage.
    pub const RING: Sticker =
        Sticker { outer_px: 7.5, core_px: 3.7, rim: Self::WHITE, core: Self::DARK };
}

impl Wardrobe {
    /// Colour of the skin in the committed clips. Chosen: of medium lightness.
    pub const SKIN: Colour = [196.0, 148.0, 120.0];

    /// The colour of a material at a point in its own frame; `across` runs from -1 (back) to 1 (front).
    #[must_use]
    pub fn colour(&self, cloth: Cloth, p: Point, across: f64) -> Colour {
        let (base, fine, coarse) = self.dye(cloth);
        let seed = self.seed ^ (cloth as u64) << 8;
        let threads = texture(seed, p.x_m * fine, p.y_m * fine) - 0.5;
        let folds = texture(seed + 1, p.x_m * coarse, p.y_m * coarse) - 0.5;
        let light = 1.04 - 0.26 * across * across + 0.10 * across;
        let contrast = 0.22 * self.weave_ratio;
        let weave = 1.0 + contrast * threads + contrast * folds;
        let stripe = stripe(cloth, p, across);
        let shade = (light * weave) as f32;
        [0, 1, 2].map(|i| (base[i] + stripe) * shade)
    }

    /// Colour, and features per metre of the fine and the coarse texture.
    fn dye(&self, cloth: Cloth) -> (Colour, f64, f64) {
        match cloth {
            Cloth::Skin => (self.skin, 130.0, 32.0),
            Cloth::Hair => ([74.0, 54.0, 42.0], 170.0, 60.0),
            Cloth::Shirt => (self.shirt, 140.0, 22.0),
            Cloth::Shorts => ([66.0, 72.0, 96.0], 150.0, 26.0),
            Cloth::Sock => ([92.0, 112.0, 116.0], 160.0, 50.0),
            Cloth::Shoe => ([140.0, 76.0, 58.0], 150.0, 60.0),
            Cloth::Sole => ([150.0, 154.0, 150.0], 120.0, 60.0),
        }
    }
}

/// Stripes: a pale one down the shorts, hoops around the sock.
fn stripe(cloth: Cloth, p: Point, across: f64) -> f32 {
    match cloth {
        Cloth::Shorts if (across + 0.05).abs() < 0.10 => 62.0,
        Cloth::Sock if (p.x_m * 90.0).rem_euclid(2.0) < 0.8 => 22.0,
        _ => 0.0,
    }
}
