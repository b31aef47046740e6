//! The mark of the program, drawn from one list of shapes as SVG and as PNG.
//!
//! Two legs a stride apart in ink, one knee round and green, the other square and vermilion as the
//! two trials are everywhere, over the double rule that closes an account.

use crate::SiteError;
use image::{ExtendedColorType, ImageEncoder, codecs::png::PngEncoder};
use std::fmt::Write as _;

/// A colour as red, green, blue.
type Colour = [u8; 3];

const PAPER: Colour = [0xfb, 0xfa, 0xf6];
const INK: Colour = [0x1d, 0x1b, 0x16];
/// Source: Okabe & Ito (2008), Color Universal Design: bluish green.
const FIRST: Colour = [0x00, 0x9e, 0x73];
/// Source: Okabe & Ito (2008), Color Universal Design: vermilion.
const SECOND: Colour = [0xd5, 0x5e, 0x00];

/// The side of the drawing in its own units; all of it lies within the middle 80 %, which is what
/// a system that cuts icons to shape leaves.
const SIDE: f64 = 100.0;

/// Samples along each side of a pixel. Chosen: 4, which gives 17 steps of an edge.
const SAMPLES: u32 = 4;

enum Shape {
    /// A stroke with round ends, from point to point.
    Stroke {
        points: &'static [[f64; 2]],
        width: f64,
    },
    Disc {
        centre: [f64; 2],
        radius: f64,
        colour: Colour,
    },
    Square {
        centre: [f64; 2],
        half: f64,
        colour: Colour,
    },
}

const MARK: &[Shape] = &[
    Shape::Stroke { points: &[[50.0, 16.0], [66.0, 36.0], [72.0, 62.0]], width: 6.0 },
    Shape::Stroke { points: &[[50.0, 16.0], [47.0, 42.0], [24.0, 52.0]], width: 6.0 },
    Shape::Disc { centre: [66.0, 36.0], radius: 7.5, colour: FIRST },
    Shape::Square { centre: [47.0, 42.0], half: 6.8, colour: SECOND },
    Shape::Stroke { points: &[[20.0, 74.0], [80.0, 74.0]], width: 3.0 },
    Shape::Stroke { points: &[[20.0, 82.0], [80.0, 82.0]], width: 3.0 },
];

impl Shape {
    fn colour(&self) -> Colour {
        match self {
            Shape::Stroke { .. } => INK,
            Shape::Disc { colour, .. } | Shape::Square { colour, .. } => *colour,
        }
    }

    fn holds(&self, at: [f64; 2]) -> bool {
        match self {
            Shape::Stroke { points, width } => points.windows(2).any(|pair| match pair {
                [from, to] => distance_to_segment(at, *from, *to) <= width / 2.0,
                _ => false,
            }),
            Shape::Disc { centre, radius, .. } => {
                (at[0] - centre[0]).hypot(at[1] - centre[1]) <= *radius
            }
            Shape::Square { centre, half, .. } => {
                (at[0] - centre[0]).abs() <= *half && (at[1] - centre[1]).abs() <= *half
            }
        }
    }

    fn svg(&self) -> String {
        let colour = hex(self.colour());
        match self {
            Shape::Stroke { points, width } => {
                let points: Vec<String> = points.iter().map(|[x, y]| format!("{x},{y}")).collect();
                format!(
                    "<polyline points=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\" \
                     stroke-linecap=\"round\" stroke-linejoin=\"round\"/>",
                    points.join(" ")
                )
            }
            Shape::Disc { centre: [x, y], radius, .. } => {
                format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" fill=\"{colour}\"/>")
            }
            Shape::Square { centre: [x, y], half, .. } => format!(
                "<rect x=\"{}\" y=\"{}\" width=\"{side}\" height=\"{side}\" fill=\"{colour}\"/>",
                x - half,
                y - half,
                side = 2.0 * half
            ),
        }
    }
}

/// The mark as a drawing of any size.
pub fn svg() -> String {
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {SIDE} {SIDE}\">\n\
         <rect width=\"{SIDE}\" height=\"{SIDE}\" fill=\"{}\"/>\n",
        hex(PAPER)
    );
    for shape in MARK {
        // Writing to a String cannot fail.
        let _ = writeln!(text, "{}", shape.svg());
    }
    text.push_str("</svg>\n");
    text
}

/// The mark as a square picture.
///
/// # Errors
/// [`SiteError::Icon`] if the encoder refuses.
pub fn png(size_px: u32) -> Result<Vec<u8>, SiteError> {
    let mut pixels = Vec::new();
    for y in 0..size_px {
        for x in 0..size_px {
            pixels.extend(pixel(x, y, size_px));
        }
    }
    let mut bytes = Vec::new();
    PngEncoder::new(&mut bytes)
        .write_image(&pixels, size_px, size_px, ExtendedColorType::Rgb8)
        .map_err(|error| SiteError::Icon { size_px, reason: error.to_string() })?;
    Ok(bytes)
}

/// The mean colour over the samples of one pixel.
fn pixel(x: u32, y: u32, size_px: u32) -> Colour {
    let step = SIDE / f64::from(size_px * SAMPLES);
    let mut sum = [0_u32; 3];
    for sample in 0..SAMPLES * SAMPLES {
        let at = [
            (f64::from(x * SAMPLES + sample % SAMPLES) + 0.5) * step,
            (f64::from(y * SAMPLES + sample / SAMPLES) + 0.5) * step,
        ];
        let colour = MARK.iter().rev().find(|shape| shape.holds(at)).map_or(PAPER, Shape::colour);
        for (total, part) in sum.iter_mut().zip(colour) {
            *total += u32::from(part);
        }
    }
    sum.map(|total| u8::try_from(total / (SAMPLES * SAMPLES)).unwrap_or(u8::MAX))
}

fn distance_to_segment(at: [f64; 2], from: [f64; 2], to: [f64; 2]) -> f64 {
    let along = [to[0] - from[0], to[1] - from[1]];
    let length_squared = along[0].powi(2) + along[1].powi(2);
    let part = ((at[0] - from[0]) * along[0] + (at[1] - from[1]) * along[1]) / length_squared;
    let part = part.clamp(0.0, 1.0);
    (at[0] - from[0] - part * along[0]).hypot(at[1] - from[1] - part * along[1])
}

fn hex([red, green, blue]: Colour) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_picture_shows_both_trials_on_paper() {
        let bytes = png(64).unwrap();
        let picture = image::load_from_memory(&bytes).unwrap().to_rgb8();
        let at = |x: f64, y: f64| picture.get_pixel((x * 0.64) as u32, (y * 0.64) as u32).0;
        assert_eq!(at(66.0, 36.0), FIRST);
        assert_eq!(at(47.0, 42.0), SECOND);
        assert_eq!(at(3.0, 3.0), PAPER);
        assert_eq!(at(50.0, 82.0), INK);
    }

    #[test]
    fn the_drawing_has_every_shape() {
        assert_eq!(svg().lines().count(), MARK.len() + 3);
    }
}
