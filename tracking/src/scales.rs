//! Every length that is truly one of the body and every time that is truly one of seconds, in one place.
//!
//! The tracker still counts in pixels and frames. All values below were chosen on clips of 1280 × 720 in which the body is
//! 400 to 550 px tall (240 to 320 px per metre), most of them at 60 frames/s. The table reads them at 500 px and 60
//! frames/s; a body of another height or a clip of another rate makes them other lengths and times, which is why they
//! stand together: whoever scales them, scales them here.
//!
//! | pixels | of the body's height | of a body of 1.75 m |
//! |---|---|---|
//! | 5 | 1.0 % | 18 mm |
//! | 10 | 2.0 % | 35 mm |
//! | 18 | 3.6 % | 63 mm |
//! | 25 | 5.0 % | 88 mm |
//! | 48 | 9.6 % | 168 mm |
//!
//! | frames | seconds |
//! |---|---|
//! | 3 | 0.05 |
//! | 10 | 0.17 |
//! | 20 | 0.33, about half a stride of running |
//! | 40 | 0.67, about a stride |
//!
//! | kept or learnt per frame | halved or half learnt after |
//! |---|---|
//! | kept 0.95 | 13.5 frames, 0.23 s |
//! | kept 0.9, learnt 0.1 | 6.6 frames, 0.11 s |
//! | kept 0.7, learnt 0.3 | 1.9 frames, 0.03 s |
//! | learnt 0.05 | 13.5 frames, 0.23 s |
//! | learnt 0.01 | 69 frames, 1.1 s |
//!
//! Lengths that are truly of pixels stay where they are used: how far a fit of grey levels misses, how far flow there and
//! back may miss its start, the steps at which an iteration ends.

/// Half the side of the region that is cut about a sticker, before its search is added.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const STICKER_REGION_HALF_PX: usize = 32;
/// The same for skin, whose patch is larger and whose region is smoothed in every frame.
///
/// Chosen: by trial on the worked clips, no record; smaller for time.
pub(crate) const SKIN_REGION_HALF_PX: usize = 20;

/// Half the sides of a skin patch that are tried, the smallest first.
///
/// Chosen: a joint that is all skin is found in 21 px; a bare thigh in shade only with its outline (37 px).
pub(crate) const SKIN_PATCH_HALVES_PX: [usize; 3] = [10, 14, 18];
/// Half the side of the largest patch of any marker.
///
/// Exact: the largest of [`SKIN_PATCH_HALVES_PX`]; a sticker of 12 px has as much.
pub(crate) const LARGEST_PATCH_HALF_PX: usize = 18;
/// Half the side of the middle of a patch that is searched for, however large the patch.
///
/// Chosen: each place found is settled on the whole patch, so that more would cost time and find nothing else.
pub(crate) const SKIN_SEARCH_HALF_PX: usize = 10;
/// Half the side of a sticker's template if it has no round edge.
///
/// Chosen: a disc of 13 px holds a sticker of 8 to 12 px and little of its background.
pub(crate) const STICKER_HALF_PX: usize = 6;

/// How far from a sticker's centre a click may land.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const CLICK_PX: usize = 5;
/// Half the side of the region in which a sticker is proposed.
///
/// Chosen: it holds the largest sticker about a centre as far off as a click may be, the steps across its edge, and the window
/// of its symmetry.
pub(crate) const PROPOSAL_HALF_PX: usize = 25;

/// Radii of a sticker in half pixels: 2.5 to 12 px.
///
/// Chosen: from the smallest disc with a centre of its own to a large sticker in a picture of 1080 lines.
pub(crate) const BLOB_RADII_HALF_PX: std::ops::RangeInclusive<usize> = 5..=24;
/// Smallest radius, in half pixels, of a blob on an uneven background.
///
/// Chosen: whatever is smaller, alike inside and different outside may be any speck.
pub(crate) const UNEVEN_BLOB_HALF_PX: usize = 9;

/// Least and largest radius of the search about the predicted place.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const SEARCH_RADIUS_PX: (f64, f64) = (8.0, 48.0);
/// Standard deviation of the predicted place of a marker at rest.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const PREDICTION_PX: f64 = 2.5;
/// What is added to it as long as the velocity is unknown.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const UNKNOWN_VELOCITY_PX: f64 = 6.0;
/// What each frame unseen adds to it.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const PREDICTION_PX_PER_UNSEEN_FRAME: f64 = 1.5;

/// Two markers are never nearer to each other than this.
///
/// Chosen: two stickers of 5 px diameter would touch; by trial on the worked clips, no record.
pub(crate) const APART_PX: f64 = 5.0;
/// Change of a limb's length that means nothing, however short the limb: the error of its two marks.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const LIMB_SLACK_PX: f64 = 2.0;
/// The furthest that limbs draw a place away from where its picture has it.
///
/// Chosen: further off it is the limb that is wrong; by trial on the worked clips, no record.
pub(crate) const LIMB_REACH_PX: f64 = 6.0;
/// Half the width of a limb beside its share of the length: what it moves on while it is predicted.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const LIMB_MARGIN_PX: f64 = 2.0;
/// Distance at which a neighbour weighs half of one in the same place.
///
/// Chosen: by trial on the worked clips, no record; the root of 100 px².
pub(crate) const NEIGHBOUR_PX: f64 = 10.0;
/// Least distance of two joined neighbours between which a marker is interpolated.
///
/// Chosen: nearer, their errors turn the line between them; by trial on the worked clips, no record.
pub(crate) const INTERPOLATION_SPAN_PX: f64 = 4.0;
/// Standard deviation of the place of a marker that is certainly off.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const CERTAINLY_OFF_PX: f64 = 25.0;

/// A marker that the user moves by less than this was tracked, and its motion stays known.
///
/// Chosen: by trial on the worked clips, no record; a place counts as wrong from 6 px on.
pub(crate) const TRACKED_PX: f64 = 5.0;
/// A marker that the user moves by more than this was on something else and moved as that does.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const ELSEWHERE_PX: f64 = 10.0;
/// Standard deviation of the place of a marker that was taken for another one.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const DISPLACED_PX: f64 = 10.0;

/// Passes whose ends miss each other by this halve the trust in the one that went further.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const PASS_CLOSURE_PX: f64 = 4.0;
/// Passes nearer than this agree.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const PASS_AGREEMENT_PX: f64 = 3.0;
/// Beyond their agreement, passes so far apart are as doubtful as passes can be.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const PASS_DISAGREEMENT_PX: f64 = 12.0;
/// For each of these distances between passes their weights are multiplied by themselves once more.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const PASS_SHARPENING_PX: f64 = 8.0;

/// Least motion between two frames of which the blur is measured.
///
/// Chosen: what moves less is not blurred by as much as can be measured.
pub(crate) const LEAST_BLURRED_MOTION_PX: f64 = 3.0;

/// Frames a marker may coast before its place means nothing.
///
/// Chosen: by trial on the worked clips, no record; a third of a second at 60 frames/s.
pub(crate) const LONGEST_COAST_FRAMES: u32 = 20;
/// Frames unseen after which a marker's neighbours trust it no less.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const LONGEST_MISTRUST_FRAMES: u32 = 40;
/// Frames unseen that count as a whole gap.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const GAP_FRAMES: u32 = 10;
/// A marker that the user placed twice within so many frames moves as it did between.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const PLACED_LATELY_FRAMES: u32 = 3;

/// Share of a gap of one frame in [`GAP_FRAMES`].
///
/// Exact: one over their number.
pub(crate) const GAP_PER_FRAME: f64 = 1.0 / GAP_FRAMES as f64;
/// What is kept per frame of the memory of a gap.
///
/// Chosen: it fades over twenty frames, for what is found again may be another thing that looks alike.
pub(crate) const GAP_KEPT: f64 = 0.95;
/// What is kept per frame of not knowing how a marker moves.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const UNKNOWN_MOTION_KEPT: f64 = 0.7;
/// What a marker that is not seen keeps of its velocity and of its spin per frame: a motion that no picture confirms dies
/// away.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const COASTING_MOTION_KEPT: f64 = 0.9;
/// Variance that a frame unseen adds to the drift of a skin patch.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const DRIFT_PX2_PER_UNSEEN_FRAME: f64 = 2.0;
/// Variance that following from frame to frame adds to the drift of a skin patch.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const DRIFT_PX2_PER_FRAME: f64 = 0.05;
/// Share of the newest spin that is learnt per frame.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const SPIN_LEARNT: f64 = 0.5;
/// Share of a new picture in the running mean of a skin patch.
///
/// Chosen: of noise that is each picture's own such a mean has 0.3 / 1.7 of the variance, and it does not drift with each
/// picture.
pub(crate) const PATCH_LEARNT: f32 = 0.3;
/// Share of the newest squared change of a patch's pixels that is learnt per frame.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const PIXEL_CHANGE_LEARNT: f32 = 0.1;
/// Share of a limb's newest length that is learnt per frame.
///
/// Chosen: learnt faster, it learns the drift of its ends; by trial on the worked clips, no record.
pub(crate) const LIMB_LENGTH_LEARNT: f64 = 0.01;
/// Share of the newest squared error of the rigid prediction that is learnt per frame.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const RIGID_ERROR_LEARNT: f64 = 0.1;
/// Share of the newest squared error of the interpolation that is learnt per frame.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const INTERPOLATION_ERROR_LEARNT: f64 = 0.05;
/// Share of the newest place between its neighbours that is learnt per frame.
///
/// Chosen: by trial on the worked clips, no record.
pub(crate) const INTERPOLATION_LEARNT: f64 = 0.02;
