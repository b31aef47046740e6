//! Renders the mark of the program, `www/shell/mark.svg`, as a PNG.

use crate::SiteError;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};
use std::error::Error;

/// The drawing as a square picture.
///
/// # Errors
/// [`SiteError::Icon`] if the drawing is no SVG or the picture cannot be encoded.
pub fn png(svg: &str, size_px: u32) -> Result<Vec<u8>, SiteError> {
    render(svg, size_px).map_err(|source| SiteError::Icon { size_px, source })
}

fn render(svg: &str, size_px: u32) -> Result<Vec<u8>, Box<dyn Error + Send + Sync>> {
    let drawing = Tree::from_str(svg, &Options::default())?;
    let mut picture = Pixmap::new(size_px, size_px).ok_or("a picture needs at least one pixel")?;
    let (width, height) = (drawing.size().width(), drawing.size().height());
    let scale = Transform::from_scale(size_px as f32 / width, size_px as f32 / height);
    resvg::render(&drawing, scale, &mut picture.as_mut());
    Ok(picture.encode_png()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MARK: &str = include_str!("../../../shell/mark.svg");

    #[test]
    fn the_picture_shows_both_trials_on_paper() {
        let picture = Pixmap::decode_png(&png(MARK, 64).unwrap()).unwrap();
        let at = |x: f64, y: f64| {
            let pixel = picture.pixel((x * 0.64) as u32, (y * 0.64) as u32).unwrap();
            [pixel.red(), pixel.green(), pixel.blue(), pixel.alpha()]
        };
        // The colours in the drawing.
        assert_eq!(at(66.0, 36.0), [0x00, 0x9e, 0x73, 0xff]);
        assert_eq!(at(47.0, 42.0), [0xd5, 0x5e, 0x00, 0xff]);
        assert_eq!(at(3.0, 3.0), [0xfb, 0xfa, 0xf6, 0xff]);
        assert_eq!(at(50.0, 82.0), [0x1d, 0x1b, 0x16, 0xff]);
    }

    #[test]
    fn the_same_drawing_gives_the_same_bytes() {
        assert_eq!(png(MARK, 192).unwrap(), png(MARK, 192).unwrap());
    }

    #[test]
    fn a_file_that_is_no_drawing_is_refused() {
        assert!(matches!(png("<p>", 64), Err(SiteError::Icon { size_px: 64, .. })));
        assert!(matches!(png(MARK, 0), Err(SiteError::Icon { size_px: 0, .. })));
    }
}
