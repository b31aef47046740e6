//! What the runner wears and is made of: colours, weave and shading that move with the limb.

use super::canvas::Colour;
use crate::body::Point;
use crate::noise::texture;

/// What a surface is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is the thing it names")]
pub enum Cloth {
    Skin,
    Hair,
    Shirt,
    Shorts,
    Sock,
    Shoe,
    Sole,
}

/// The colours of one clip. Both ways of running wear shirts of like lightness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wardrobe {
    /// Colour of the shirt.
    pub shirt: Colour,
    /// Colour of the skin.
    pub skin: Colour,
    /// Strength of weave and folds over that of the committed clips.
    pub weave_ratio: f64,
    /// The stickers.
    pub sticker: Sticker,
    /// Seed of every texture.
    pub seed: u64,
}

/// A round sticker: a rim about a core of another colour; a core of no size makes it plain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sticker {
    /// Radius of the whole.
    pub outer_px: f64,
    /// Radius of the core.
    pub core_px: f64,
    /// Colour of the rim.
    pub rim: Colour,
    /// Colour of the core.
    pub core: Colour,
}

impl Sticker {
    /// White.
    pub const WHITE: Colour = [244.0, 244.0, 240.0];
    /// Nearly black.
    pub const DARK: Colour = [24.0, 22.0, 26.0];
    /// That of the committed clips: a white ring about a dark middle, 14 pixels across.
    pub const RING: Sticker =
        Sticker { outer_px: 7.5, core_px: 3.7, rim: Self::WHITE, core: Self::DARK };
}

impl Wardrobe {
    /// Colour of the skin in the committed clips.
    pub const SKIN: Colour = [196.0, 148.0, 120.0];

    /// The colour of a cloth at a place in its own frame; `across` runs from -1 (back) to 1 (front).
    #[must_use]
    pub fn colour(&self, cloth: Cloth, p: Point, across: f64) -> Colour {
        let (base, fine, coarse) = self.dye(cloth);
        let seed = self.seed ^ (cloth as u64) << 8;
        let threads = texture(seed, p.x_m * fine, p.y_m * fine) - 0.5;
        let folds = texture(seed + 1, p.x_m * coarse, p.y_m * coarse) - 0.5;
        let light = 1.04 - 0.26 * across * across + 0.10 * across;
        let strength = 0.22 * self.weave_ratio;
        let weave = 1.0 + strength * threads + strength * folds;
        let stripe = stripe(cloth, p, across);
        let shade = (light * weave) as f32;
        [0, 1, 2].map(|i| (base[i] + stripe) * shade)
    }

    /// Colour, and features of the fine and the coarse texture per metre.
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

/// Stripes sewn along the cloth: a pale one down the shorts, hoops on the sock.
fn stripe(cloth: Cloth, p: Point, across: f64) -> f32 {
    match cloth {
        Cloth::Shorts if (across + 0.05).abs() < 0.10 => 62.0,
        Cloth::Sock if (p.x_m * 90.0).rem_euclid(2.0) < 0.8 => 22.0,
        _ => 0.0,
    }
}
