//! How the tracker decides: every term of the merit of a place, with its unit, its weight and its source.
//!
//! # The pipeline, frame by frame
//!
//! 1. **Predict.** Each marker goes on at its velocity. The standard deviation of that is
//!    `sigma = 2.5 + 0.25 speed + 6 (first frame only) + 1.5 per frame unseen` pixels (`prediction.rs`).
//! 2. **Occlusion.** Limbs of a higher layer than the marker's own (near arm, near leg, trunk, far leg, far arm) mask the
//!    pixels of its patch that they are predicted to cover (`skeleton/occlusion_order`, `appearance/occlusion_mask`).
//! 3. **Propose.** Lucas-Kanade there and back, the prediction itself, and a search by normalised correlation within
//!    `3.5 sigma` (8 to 48 px) give places. Each is settled: a sticker as its placed template, shifted and, if it
//!    correlates less than 0.95, as an affine change of it (`appearance/sticker`); skin as a rigid patch whose pose is
//!    held by the prediction, then drawn to where its reference patches have it (`appearance/skin_candidates`).
//! 4. **Image merit** of each place: `image_merit`, in units of correlation.
//! 5. **Skeleton merit**: `merit` subtracts the penalties and adds the support that come from the other markers.
//! 6. **Assign.** Three rounds over all markers, the best first: each takes its best place given the others, if that has a
//!    merit of `ACCEPTED` at least. Then a marker without a place gets the place of another if both together are better
//!    off so: one without a place counts `ACCEPTED`, a sticker that was seen in the frame before `FIRSTHAND` more
//!    (`skeleton/assignment`).
//! 7. **Relax.** Places of skin go to the minimum of
//!    `(p - m)^T H (p - m) + sum over limbs (|p - n| - length)^2 / give^2`, with `m` the place found, `H` how firmly its
//!    picture holds it (one over its variance), `n` the other end, and `give^2 = (0.5 px + 3 % of the length)^2` and the
//!    variance of `n`; by 6 px at most (`skeleton/length_constraint`).
//! 8. **Coast.** A marker without a place goes to the mean, each weighed by one over its variance, of its own motion,
//!    the rigid motion of its neighbours and the interpolation between two neighbours, at its limbs' lengths
//!    (`observation.rs`).
//! 9. **Judge.** `error_model.rs` turns the features of the place into the probability of being more than 6 px off;
//!    above 0.8 % it is doubtful. `gating.rs` turns them into how far neighbours rely on it in the next frame.
//! 10. **Learn.** Limb lengths, rigid and interpolation errors, patches, velocities: a share per frame each
//!     (`scales.rs`).
//!
//! Two passes between two frames that the user placed, one from each end, become one track in `blend.rs`.
//!
//! # The merit of a place
//!
//! ```text
//! merit = similarity                        similarity of its picture, at most 1
//!       - 0.04 min((d / sigma)^2, 20)       innovation: distance d from the prediction
//!       - max(0.5 - g, 0)                   contrast g over that of the template, too low
//!       - 0.3 max(g - 1.8, 0)               contrast, too high
//!       + 0.06 if the flow leads here       Lucas-Kanade there and back, within 1.5 px
//!       - 0.5 if within 5 px of another     crowding
//!       - min(1.2 max(e - 0.10, 0), 0.5)    limb length: largest share e by which a limb, less 2 px, is off
//!   and on skin and cloth
//!       - 0.03 min(r^2 / (s_r^2 + 1), 12)   rigid motion: r from where the neighbours carry it, variance s_r^2
//!       - min(6 max(l - 0.03, 0), 0.5)      slide: l = the smaller of largest stretch and largest shrinkage
//!       + 0.3 max(1 - i^2 / (4 (s_i^2 + 1)), 0)   interpolation: i from where two joined neighbours have it; none
//!                                                 from a variance of 30 px^2 on
//! ```
//!
//! with `similarity = c + 0.35 (c_recent - c) - 0.04 max(colour - 4, 0)` of a sticker, `c` the correlation with the placed
//! template, and `similarity = c_ref + 0.7 (c_mean - c_ref)` of skin, `c_ref` the best correlation with a reference patch
//! (`c_ref` alone after an unseen frame).
//! All distances are in pixels, all weights in correlation.
//!
//! # What is fitted
//!
//! Only `error_model.rs` is fitted, by the program that it names. No weight in this file is: all are `Chosen` by trial
//! on the worked clips (skin and stickers of 30 to 120 frames/s at 1280 × 720, and one real walker), judged by the
//! corrections that a clip needs and by the share of places within a few pixels. Where a figure was kept it stands at the
//! constant; "no record" says that none was.

/// The merit that a place needs to be taken.
///
/// Chosen: between what the best wrong place usually has (0.4) and what a right one falls to in blur (0.6).
pub(super) const ACCEPTED: f32 = 0.5;

/// What it is worth, in an exchange of places, that a sticker is seen on that was seen in the frame before.
///
/// Chosen: of 0.1, 0.2 and 0.3 the least that keeps a wrist's sticker, turned in passing a hip's, from being taken for the
/// hip's.
pub(super) const FIRSTHAND: f32 = 0.2;

/// Cost of each squared standard deviation from the prediction, in correlation.
///
/// Chosen: by trial on the worked clips, no record.
const INNOVATION: f64 = 0.04;
/// Squared standard deviations from which on distance costs no more.
///
/// Chosen: by trial on the worked clips, no record; with it a place far off costs 0.8 and cannot be taken.
const INNOVATION_LIMIT: f64 = 20.0;
/// Contrast over that of the template below which a place costs what is missing.
///
/// Chosen: by trial on the worked clips, no record.
const LOW_CONTRAST_RATIO: f32 = 0.5;
/// Contrast over that of the template above which a place costs.
///
/// Chosen: by trial on the worked clips, no record.
const HIGH_CONTRAST_RATIO: f32 = 1.8;
/// Cost of each whole contrast of the template above that, in correlation.
///
/// Chosen: by trial on the worked clips, no record.
const HIGH_CONTRAST: f32 = 0.3;
/// What a place is worth that the flow leads to as well, in correlation.
///
/// Chosen: by trial on the worked clips, no record.
const FLOW: f32 = 0.06;

/// Weight of a sticker's latest appearance against that of the placed template.
///
/// Chosen: by trial on the worked clips, no record.
const RECENT: f32 = 0.35;
/// Levels of colour that noise, coding and shade change.
///
/// Chosen: of 3,640 places like a sticker in one clip 94 of 100 are within four and 98 within five, while a fist is 15 from
/// white.
const COLOUR_FREE_LEVELS: f32 = 4.0;
/// Cost of each level of colour beyond those, in correlation.
///
/// Chosen: in sixteen clips 7 places were off without it, 6 at 0.02, 5 at 0.03, 2 at 0.04 and at 0.05, and 22 at 0.08, where
/// blurred stickers are passed over.
const COLOUR_PER_LEVEL: f32 = 0.04;
/// Weight of the running mean of a skin patch against its reference patches.
///
/// Chosen: by trial on the worked clips, no record.
const RUNNING_MEAN: f32 = 0.7;

/// Cost of being in another marker's place, in correlation.
///
/// Chosen: by trial on the worked clips, no record; as much as a place needs.
const CROWDED: f32 = 0.5;
/// Share by which a limb seen from the side changes its length without any cost: it turns a little out of the plane.
///
/// Chosen: by trial on the worked clips, no record.
const LIMB_FREE_RATIO: f64 = 0.10;
/// Cost of each further tenth of its length, in correlation.
///
/// Chosen: by trial on the worked clips, no record.
const LIMB_PER_TENTH: f64 = 0.12;
/// Share by which one limb of a marker may be longer and another shorter at once without any cost: the marks on their ends
/// are only about right.
///
/// Chosen: with [`SLIDE_PER_TENTH`], [`INTERPOLATION`] and a weaker hold of patches that agree badly, skin needed 15.6
/// corrections for 100 frames instead of 18.0 on fifteen drawn clips at 60 and 120 frames/s.
const SLIDE_FREE_RATIO: f64 = 0.03;
/// Cost of each further tenth of such a slide, in correlation.
///
/// Chosen: see [`SLIDE_FREE_RATIO`].
const SLIDE_PER_TENTH: f64 = 0.6;
/// The most that limb lengths, and a slide, can cost, in correlation.
///
/// Chosen: by trial on the worked clips, no record.
const LIMB_LIMIT: f64 = 0.5;
/// Exact: tenths in a whole.
const TENTHS: f64 = 10.0;

/// Cost of a place that is as far from where its neighbours carry it as is usual, in correlation.
///
/// Chosen: by trial on the worked clips, no record.
const RIGID: f64 = 0.03;
/// Squared usual distances from which on it costs no more.
///
/// Chosen: by trial on the worked clips, no record.
const RIGID_LIMIT: f64 = 12.0;
/// What being exactly where two neighbours have it is worth, in correlation.
///
/// Chosen: see [`SLIDE_FREE_RATIO`].
const INTERPOLATION: f64 = 0.3;
/// Squared usual distances at which that is worth nothing any more: two standard deviations.
///
/// Chosen: by trial on the worked clips, no record.
const INTERPOLATION_LIMIT: f64 = 4.0;
/// Variance of an interpolation beyond which it is worth nothing.
///
/// Chosen: by trial on the worked clips, no record; 5.5 px each way.
const INTERPOLATION_VAGUE_PX2: f64 = 30.0;
/// Variance that is forgiven in both, however firm the neighbours are: the error of the place itself.
///
/// Chosen: a pixel each way.
const FORGIVEN_PX2: f64 = 1.0;

/// What the picture says of a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct ImageEvidence {
    /// [`sticker_similarity`] or [`skin_similarity`].
    pub similarity: f32,
    /// Contrast over that of the template.
    pub contrast_ratio: f32,
    /// Distance from the predicted place over its standard deviation.
    pub innovation_ratio: f64,
    /// Whether the flow from the frame before leads there.
    pub is_at_flow: bool,
}

/// What the picture is worth of a place, in correlation; at most 1.06.
pub(super) fn image_merit(evidence: &ImageEvidence) -> f32 {
    let away = evidence.innovation_ratio;
    let far = INNOVATION * (away * away).min(INNOVATION_LIMIT);
    let contrast = evidence.contrast_ratio;
    let odd = (LOW_CONTRAST_RATIO - contrast).max(0.0)
        + HIGH_CONTRAST * (contrast - HIGH_CONTRAST_RATIO).max(0.0);
    evidence.similarity - far as f32 - odd + if evidence.is_at_flow { FLOW } else { 0.0 }
}

/// Similarity of a place with a sticker: its correlation with the placed template and with its latest appearance.
pub(super) fn sticker_similarity(placed: f32, recent: Option<f32>, colour_deficit: f32) -> f32 {
    recent.map_or(placed, |recent| placed + RECENT * (recent - placed)) - colour_deficit
}

/// What a colour so many levels from a sticker's own costs, in correlation.
pub(super) fn colour_deficit(distance_levels: f32) -> f32 {
    COLOUR_PER_LEVEL * (distance_levels - COLOUR_FREE_LEVELS).max(0.0)
}

/// Similarity of a place with skin: its correlation with the running mean and the best with a reference patch, the latter
/// alone if the marker was not seen in the frame before.
pub(super) fn skin_similarity(running_mean: f32, reference: f32, was_seen: bool) -> f32 {
    if was_seen { reference + RUNNING_MEAN * (running_mean - reference) } else { reference }
}

/// How far a place is from a predicted one, and the variance that is usual for that.
#[derive(Clone, Copy, Debug)]
pub(super) struct Deviation {
    pub distance_px: f64,
    pub usual_px2: f64,
}

impl Deviation {
    /// `d^2 / (s^2 + 1)`.
    fn square(self) -> f64 {
        self.distance_px * self.distance_px / (self.usual_px2 + FORGIVEN_PX2)
    }

    /// `d / sqrt(s^2 + 1)`.
    pub(super) fn ratio(self) -> f64 {
        self.distance_px / (self.usual_px2 + FORGIVEN_PX2).sqrt()
    }
}

/// What the other markers say of a place of any marker.
#[derive(Clone, Copy, Debug)]
pub(super) struct SkeletonEvidence {
    /// Whether another marker is in the same place.
    pub is_crowded: bool,
    /// The largest share by which a limb of the marker is longer or shorter than usual, two pixels apart from it.
    pub limb_change_ratio: f64,
}

/// What they say of a place on skin or cloth besides.
#[derive(Clone, Copy, Debug)]
pub(super) struct SkinEvidence {
    /// From where the neighbours carry it; `None` if none do.
    pub rigid: Option<Deviation>,
    /// The lesser of the largest stretch and the largest shrinkage of its limbs.
    ///
    /// A limb that turns out of the plane gets shorter, and none gets longer by it: a hip that is nearer to its shoulder and
    /// further from its knee has slid, as along the edge of an arm in front of it. A sticker does not slide.
    pub slide_ratio: f64,
    /// From where two joined neighbours have it; `None` if none do.
    pub interpolation: Option<Deviation>,
}

/// The merit of a place once the other markers are heard, in correlation.
pub(super) fn merit(image: f32, skeleton: &SkeletonEvidence, skin: Option<&SkinEvidence>) -> f32 {
    let any = image - skeleton_penalty(skeleton);
    match skin {
        None => any,
        Some(skin) => {
            let against = rigid_penalty(skin.rigid) + slide_penalty(skin.slide_ratio);
            any - against + interpolation_support(skin.interpolation)
        }
    }
}

/// What crowding and limb lengths cost, in correlation.
pub(super) fn skeleton_penalty(evidence: &SkeletonEvidence) -> f32 {
    let stretched =
        beyond(evidence.limb_change_ratio, LIMB_FREE_RATIO, LIMB_PER_TENTH).min(LIMB_LIMIT);
    stretched as f32 + if evidence.is_crowded { CROWDED } else { 0.0 }
}

fn rigid_penalty(deviation: Option<Deviation>) -> f32 {
    deviation.map_or(0.0, |deviation| (RIGID * deviation.square().min(RIGID_LIMIT)) as f32)
}

/// What a slide costs: see [`SkinEvidence::slide_ratio`].
fn slide_penalty(slide_ratio: f64) -> f32 {
    beyond(slide_ratio, SLIDE_FREE_RATIO, SLIDE_PER_TENTH).min(LIMB_LIMIT) as f32
}

/// What speaks for a place because two neighbours have the marker there: less of its picture needs to be seen, as a heel's
/// beneath which the ground passes.
fn interpolation_support(deviation: Option<Deviation>) -> f32 {
    match deviation {
        Some(Deviation { distance_px, usual_px2 }) if usual_px2 < INTERPOLATION_VAGUE_PX2 => {
            let share =
                distance_px * distance_px / (INTERPOLATION_LIMIT * (usual_px2 + FORGIVEN_PX2));
            (INTERPOLATION * (1.0 - share).max(0.0)) as f32
        }
        _ => 0.0,
    }
}

/// The cost of a share beyond a free one, each tenth at a price.
fn beyond(share: f64, free: f64, per_tenth: f64) -> f64 {
    (share - free).max(0.0) * TENTHS * per_tenth
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::image::ImagePoint;
    use crate::track::limb::Limb;
    use crate::track::skeleton::Skeleton;

    const SURE: ImageEvidence = ImageEvidence {
        similarity: 1.0,
        contrast_ratio: 1.0,
        innovation_ratio: 0.0,
        is_at_flow: true,
    };
    const FREE: SkeletonEvidence = SkeletonEvidence { is_crowded: false, limb_change_ratio: 0.1 };

    #[test]
    fn no_place_has_more_than_full_similarity_at_the_flow() {
        assert!((image_merit(&SURE) - 1.06).abs() < 1e-6);
        let worse = [
            ImageEvidence { similarity: 0.9, ..SURE },
            ImageEvidence { contrast_ratio: 0.4, ..SURE },
            ImageEvidence { contrast_ratio: 2.0, ..SURE },
            ImageEvidence { innovation_ratio: 1.0, ..SURE },
            ImageEvidence { is_at_flow: false, ..SURE },
        ];
        assert!(worse.iter().all(|one| image_merit(one) < image_merit(&SURE)));
    }

    #[test]
    fn each_term_is_that_of_the_page() {
        let far = ImageEvidence { innovation_ratio: 2.0, contrast_ratio: 2.8, ..SURE };
        // 1.06 - 0.04 * 4 - 0.3 * 1.
        assert!((image_merit(&far) - 0.6).abs() < 1e-6);
        let stretched = SkeletonEvidence { limb_change_ratio: 0.2, is_crowded: true };
        // 0.12 for the tenth beyond the free one, 0.5 for the crowd.
        assert!((skeleton_penalty(&stretched) - 0.62).abs() < 1e-6);
        let off = |distance_px: f64| Some(Deviation { distance_px, usual_px2: 3.0 });
        let skin = SkinEvidence { rigid: off(4.0), slide_ratio: 0.08, interpolation: off(2.0) };
        // 0.03 * 16 / 4 and 6 * 0.05 against it, 0.3 * (1 - 4 / 16) for it.
        assert!((merit(1.0, &FREE, Some(&skin)) - (1.0 - 0.12 - 0.3 + 0.225)).abs() < 1e-6);
        assert_eq!(merit(1.0, &FREE, None), 1.0);
    }

    #[test]
    fn a_colour_is_free_within_four_levels_and_skin_unseen_counts_by_its_references_alone() {
        assert_eq!((colour_deficit(4.0), colour_deficit(-1.0)), (0.0, 0.0));
        assert!((colour_deficit(9.0) - 0.2).abs() < 1e-6);
        assert!((skin_similarity(0.9, 0.5, true) - 0.78).abs() < 1e-6);
        assert_eq!(skin_similarity(0.9, 0.5, false), 0.5);
        assert!((sticker_similarity(0.8, Some(1.0), 0.1) - 0.77).abs() < 1e-6);
    }

    #[test]
    fn a_hip_that_slid_towards_the_shoulder_costs_more_than_a_trunk_that_leans_out_of_the_plane() {
        let at = |y_px: f64| Some(ImagePoint { x_px: 50.0, y_px });
        // Shoulder, hip and knee, one above the other.
        let (shoulder, knee) = (at(0.0), at(200.0));
        let limbs = [Limb::between(0, 1), Limb::between(1, 2)];
        let skeleton = Skeleton::new(&limbs, vec![shoulder, at(100.0), knee]);
        let hip = ImagePoint { x_px: 50.0, y_px: 91.0 };
        let penalty = |knee| slide_penalty(skeleton.slide_ratio(1, hip, &[shoulder, None, knee]));
        // The first hip is nine pixels too high; in the second the trunk is shorter and the thigh as long as ever.
        let (slid, leaning) = (penalty(knee), penalty(at(191.0)));
        // Longer and shorter by 9 %: six points beyond the free ones, at 0.06 each.
        assert!((slid - 0.36).abs() < 1e-6, "{slid}");
        assert_eq!(leaning, 0.0);
    }
}
