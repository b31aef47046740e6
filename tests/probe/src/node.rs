//! The module for Node: the followed clip, and a tracker to be timed on pictures that Node reads.

use tracking::Error;
use tracking::image::{GreyFrame, ImagePoint, Region};
use tracking::point::{FlowScratch, flow};
use tracking::track::{Limb, MarkerStart, Mode, State, Tracker};
use wasm_bindgen::prelude::wasm_bindgen;

/// Half the side of a region of Lucas-Kanade alone: 96 pixels square.
const HALF_REGION_PX: usize = 48;
/// Its window of 21 pixels.
const HALF_WINDOW_PX: usize = 10;
/// There and back again may miss the start by so much.
const CLOSING_PX: f64 = 1.5;

/// The followed clip as text.
///
/// # Errors
/// None that the drawn clip gives rise to.
#[wasm_bindgen]
pub fn followed() -> Result<String, String> {
    probe::exact::followed().map_err(|error| error.to_string())
}

/// Bytes of the module's memory as it is now; it never shrinks.
#[wasm_bindgen]
#[must_use]
pub fn heap_bytes() -> f64 {
    #[cfg(target_arch = "wasm32")]
    let pages = core::arch::wasm32::memory_size::<0>();
    #[cfg(not(target_arch = "wasm32"))]
    let pages = 0_usize;
    pages as f64 * 65_536.0
}

/// A clip that is followed picture by picture.
#[wasm_bindgen]
pub struct Timed {
    width_px: usize,
    height_px: usize,
    luma: Vec<u8>,
    tracker: Option<Tracker>,
    markers: Vec<ImagePoint>,
    /// How each marker moved in the frame before, in pixels.
    steps_px: Vec<(f64, f64)>,
    before: Vec<Region>,
    scratch: FlowScratch,
}

#[wasm_bindgen]
impl Timed {
    /// For pictures of this size.
    #[wasm_bindgen(constructor)]
    #[must_use]
    pub fn new(width_px: usize, height_px: usize) -> Timed {
        Timed {
            width_px,
            height_px,
            luma: Vec::new(),
            tracker: None,
            markers: Vec::new(),
            steps_px: Vec::new(),
            before: Vec::new(),
            scratch: FlowScratch::default(),
        }
    }

    /// Takes the grey levels of the next picture.
    pub fn load(&mut self, luma: &[u8]) {
        self.luma.clear();
        self.luma.extend_from_slice(luma);
    }

    /// Begins a pass at the picture taken; `places` holds x and y, `limbs` the ends by index.
    ///
    /// # Errors
    /// In the words of the tracker.
    pub fn begin(&mut self, places: &[f64], limbs: &[u32], sticker: bool) -> Result<(), String> {
        let mode = if sticker { Mode::Sticker } else { Mode::Skin };
        self.markers = pairs(places).map(|(x_px, y_px)| ImagePoint { x_px, y_px }).collect();
        let starts: Vec<MarkerStart> =
            self.markers.iter().map(|at| MarkerStart { at: *at, mode }).collect();
        let limbs: Vec<Limb> =
            pairs(limbs).map(|(a, b)| Limb::between(a as usize, b as usize)).collect();
        let frame = self.frame().map_err(|error| error.to_string())?;
        let tracker = Tracker::new(frame, &starts, &limbs).map_err(|error| error.to_string())?;
        self.before = regions(frame, &self.markers);
        self.steps_px = vec![(0.0, 0.0); self.markers.len()];
        self.tracker = Some(tracker);
        Ok(())
    }

    /// The whole recipe on the picture taken: how many markers are seen.
    ///
    /// # Errors
    /// In the words of the tracker.
    pub fn step(&mut self) -> Result<u32, String> {
        let frame = GreyFrame::new(self.width_px, self.height_px, self.width_px, &self.luma);
        let frame = frame.map_err(|error| error.to_string())?;
        let Some(tracker) = &mut self.tracker else { return Ok(0) };
        let samples = tracker.step(frame).map_err(|error| error.to_string())?;
        let seen = samples.iter().filter(|s| matches!(s.state, State::Seen | State::Doubtful));
        Ok(seen.count() as u32)
    }

    /// Lucas-Kanade there and back by itself, with its regions: how many markers came home.
    ///
    /// As in the whole recipe a marker's region is cut once a picture, about where it should be by now, and is where
    /// it comes from in the next; the flow itself begins where the marker was, as its peer's does.
    ///
    /// # Errors
    /// When the picture taken is of another size.
    pub fn flow(&mut self) -> Result<u32, String> {
        let frame = GreyFrame::new(self.width_px, self.height_px, self.width_px, &self.luma);
        let frame = frame.map_err(|error| error.to_string())?;
        let moved =
            self.markers.iter().zip(&self.steps_px).map(|(at, (dx, dy))| at.moved(*dx, *dy));
        let now = regions(frame, &moved.collect::<Vec<_>>());
        let mut home = 0;
        let markers = self.markers.iter_mut().zip(&mut self.steps_px);
        for ((from, to), (place, step)) in self.before.iter().zip(&now).zip(markers) {
            let there =
                flow(from.point(*place), to.point(*place), HALF_WINDOW_PX, &mut self.scratch);
            let back = there.and_then(|there| {
                flow(to.point(there), from.point(*place), HALF_WINDOW_PX, &mut self.scratch)
            });
            let came_home = back.is_some_and(|b| b.distance_px(*place) < CLOSING_PX);
            let next = there.filter(|_| came_home).unwrap_or(*place);
            (*step, *place) = (next.minus(*place), next);
            home += u32::from(came_home);
        }
        self.before = now;
        Ok(home)
    }

    fn frame(&self) -> Result<GreyFrame<'_>, Error> {
        GreyFrame::new(self.width_px, self.height_px, self.width_px, &self.luma)
    }
}

fn regions(frame: GreyFrame<'_>, places: &[ImagePoint]) -> Vec<Region> {
    places.iter().map(|at| Region::around(frame, *at, HALF_REGION_PX)).collect()
}

fn pairs<T: Copy>(values: &[T]) -> impl Iterator<Item = (T, T)> {
    values.chunks_exact(2).filter_map(|pair| Some((*pair.first()?, *pair.get(1)?)))
}
