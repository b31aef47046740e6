//! The interface for Node: the tracked clip, and a tracker to be timed on frames that Node reads.

use tracking::Error;
use tracking::image::{GreyFrame, ImagePoint, Region};
use tracking::point::{FlowScratch, flow};
use tracking::track::{Limb, MarkerStart, Mode, State, Tracker};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

/// Half the side of a region of Lucas-Kanade alone: 96 pixels square.
const HALF_REGION_PX: usize = 48;
/// Its window of 21 pixels.
const HALF_WINDOW_PX: usize = 10;
/// The largest distance between the start and the result of forward and backward flow.
const CLOSING_PX: f64 = 1.5;

/// The tracked clip as text.
///
/// # Errors
/// None with the drawn clip.
#[wasm_bindgen]
pub fn followed() -> Result<String, JsError> {
    Ok(native_wasm::exact::followed()?)
}

/// Size of the module's memory in bytes; it never shrinks.
#[wasm_bindgen]
#[must_use]
pub fn heap_bytes() -> f64 {
    #[cfg(target_arch = "wasm32")]
    let pages = core::arch::wasm32::memory_size::<0>();
    #[cfg(not(target_arch = "wasm32"))]
    let pages = 0_usize;
    pages as f64 * 65_536.0
}

/// A clip that is tracked frame by frame.
#[wasm_bindgen]
pub struct Timed {
    width_px: usize,
    height_px: usize,
    luma: Vec<u8>,
    tracker: Option<Tracker>,
    markers: Vec<ImagePoint>,
    /// The step of each marker in the frame before, in pixels.
    steps_px: Vec<(f64, f64)>,
    before: Vec<Region>,
    scratch: FlowScratch,
}

#[wasm_bindgen]
impl Timed {
    /// For frames of this size.
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

    /// Takes the grey levels of the next frame.
    pub fn load(&mut self, luma: &[u8]) {
        self.luma.clear();
        self.luma.extend_from_slice(luma);
    }

    /// Begins a pass at the loaded frame; `places` holds x and y, `limbs` the ends by index.
    ///
    /// # Errors
    /// Those of the tracker.
    pub fn begin(&mut self, places: &[f64], limbs: &[u32], sticker: bool) -> Result<(), JsError> {
        let mode = if sticker { Mode::Sticker } else { Mode::Skin };
        self.markers = pairs(places).map(|(x_px, y_px)| ImagePoint { x_px, y_px }).collect();
        let starts: Vec<MarkerStart> =
            self.markers.iter().map(|at| MarkerStart { at: *at, mode }).collect();
        let limbs: Vec<Limb> =
            pairs(limbs).map(|(a, b)| Limb::between(a as usize, b as usize)).collect();
        let frame = self.frame()?;
        let tracker = Tracker::new(frame, &starts, &limbs)?;
        self.before = regions(frame, &self.markers);
        self.steps_px = vec![(0.0, 0.0); self.markers.len()];
        self.tracker = Some(tracker);
        Ok(())
    }

    /// Tracks into the loaded frame; answers how many markers are seen.
    ///
    /// # Errors
    /// Those of the tracker.
    pub fn step(&mut self) -> Result<u32, JsError> {
        let frame = GreyFrame::new(self.width_px, self.height_px, self.width_px, &self.luma)?;
        let Some(tracker) = &mut self.tracker else { return Ok(0) };
        let samples = tracker.step(frame)?;
        let seen = samples.iter().filter(|s| matches!(s.state, State::Seen | State::Doubtful));
        Ok(seen.count() as u32)
    }

    /// Lucas-Kanade forward and backward alone, with its regions; answers how many markers return to their start.
    ///
    /// As in the tracker, each marker's region is cut once per frame around its expected place and reused for the next
    /// frame; the flow itself begins at the place before, like its peer.
    ///
    /// # Errors
    /// When the loaded frame has another size.
    pub fn flow(&mut self) -> Result<u32, JsError> {
        let frame = GreyFrame::new(self.width_px, self.height_px, self.width_px, &self.luma)?;
        let moved =
            self.markers.iter().zip(&self.steps_px).map(|(at, (dx, dy))| at.moved(*dx, *dy));
        let now = regions(frame, &moved.collect::<Vec<_>>());
        let mut returned = 0;
        let markers = self.markers.iter_mut().zip(&mut self.steps_px);
        for ((from, to), (place, step)) in self.before.iter().zip(&now).zip(markers) {
            let forward =
                flow(from.point(*place), to.point(*place), HALF_WINDOW_PX, &mut self.scratch);
            let back = forward.and_then(|forward| {
                flow(to.point(forward), from.point(*place), HALF_WINDOW_PX, &mut self.scratch)
            });
            let returns = back.is_some_and(|b| b.distance_px(*place) < CLOSING_PX);
            let next = forward.filter(|_| returns).unwrap_or(*place);
            (*step, *place) = (next.minus(*place), next);
            returned += u32::from(returns);
        }
        self.before = now;
        Ok(returned)
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
