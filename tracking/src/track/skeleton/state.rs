//! The limbs as they have been seen, and where the markers were.

use super::places::{Places, place_of};
use super::triangle::Triangle;
use crate::image::ImagePoint;
use crate::scales::{APART_PX, CERTAINLY_OFF_PX, LIMB_LENGTH_LEARNT, LIMB_SLACK_PX};
use crate::track::cost::SkeletonEvidence;
use crate::track::gating::MOST_MISTRUST;
use crate::track::limb::Limb;

/// Share of a limb's length that is learnt when the user places an end.
///
/// Chosen: by trial on the worked clips, no record.
const LENGTH_LEARNT_PLACED: f64 = 0.3;
/// Variance of where neighbours carry a marker, before it is learnt.
///
/// Chosen: by trial on the worked clips, no record.
const FIRST_RIGID_PX2: f64 = 6.0;

/// The lengths of the limbs as they have been seen, and where the markers were.
#[derive(Clone, Debug)]
pub(in crate::track) struct Skeleton {
    pub(super) limbs: Vec<Limb>,
    /// `None` until both ends have been seen.
    lengths_px: Vec<Option<f64>>,
    /// Where each marker was seen in the frame before.
    pub(super) previous: Vec<Option<ImagePoint>>,
    /// By marker, the variance of where its neighbours carry it in a frame.
    pub(super) rigid_px2: Vec<f64>,
    /// By marker, how little it was relied on in the frame before.
    mistrust: Vec<f64>,
    /// Where markers lie between two joined neighbours.
    pub(super) triangles: Vec<Triangle>,
}

/// A neighbour of a marker.
#[derive(Clone, Copy, Debug)]
pub(in crate::track) struct Neighbour {
    pub marker: usize,
    /// The usual length of the limb that joins them.
    pub length_px: f64,
}

impl Skeleton {
    /// A skeleton of these limbs, with the markers where they are.
    pub fn new(limbs: &[Limb], places: Vec<Option<ImagePoint>>) -> Self {
        let length =
            |l: &Limb| Some(place_of(&places, l.from)?.distance_px(place_of(&places, l.to)?));
        Self {
            limbs: limbs.to_vec(),
            lengths_px: limbs.iter().map(length).collect(),
            rigid_px2: vec![FIRST_RIGID_PX2; places.len()],
            mistrust: vec![0.0; places.len()],
            triangles: Triangle::all(limbs, &places),
            previous: places,
        }
    }

    /// The other ends of a marker's limbs.
    pub fn neighbours(&self, marker: usize) -> impl Iterator<Item = Neighbour> {
        self.limbs.iter().zip(&self.lengths_px).filter_map(move |(limb, length)| {
            Some(Neighbour { marker: limb.other_end(marker)?, length_px: (*length)? })
        })
    }

    /// Share of a marker's neighbours that are not seen; `None` if it has none.
    pub fn isolation_ratio(&self, marker: usize, places: &Places) -> Option<f64> {
        let (all, unseen) = self.neighbours(marker).fold((0.0, 0.0), |(all, unseen), other| {
            let seen = place_of(places, other.marker).is_some();
            (all + 1.0, if seen { unseen } else { unseen + 1.0 })
        });
        (all > 0.0).then_some(unseen / all)
    }

    /// Whether a marker was relied on in the frame before.
    pub(super) fn is_trusted(&self, marker: usize) -> bool {
        self.mistrust_of(marker) < MOST_MISTRUST
    }

    /// How little a marker was relied on in the frame before.
    pub(super) fn mistrust_of(&self, marker: usize) -> f64 {
        self.mistrust.get(marker).copied().unwrap_or(0.0)
    }

    /// What a marker's mistrust adds to the variance of its place.
    pub(super) fn mistrust_px2(&self, marker: usize) -> f64 {
        let off_px = CERTAINLY_OFF_PX * self.mistrust_of(marker);
        off_px * off_px
    }

    /// The user placed a marker: its limbs are about as long as they are now.
    pub fn place(&mut self, marker: usize, at: ImagePoint) {
        for (limb, length) in self.limbs.iter().zip(&mut self.lengths_px) {
            let other = limb.other_end(marker);
            let Some(end) = other.and_then(|other| place_of(&self.previous, other)) else {
                continue;
            };
            let now = end.distance_px(at);
            *length = Some(length.map_or(now, |old| old + LENGTH_LEARNT_PLACED * (now - old)));
        }
        if let (Some(previous), Some(mistrust)) =
            (self.previous.get_mut(marker), self.mistrust.get_mut(marker))
        {
            (*previous, *mistrust) = (Some(at), 0.0);
        }
        for triangle in self.triangles.iter_mut().filter(|t| t.has(marker)) {
            triangle.place(&self.previous);
        }
    }

    /// Takes how little each marker is relied on from now on.
    pub(super) fn set_mistrust(&mut self, mistrust: Vec<f64>) {
        self.mistrust = mistrust;
    }

    /// Follows slow changes of the limbs, and remembers where the markers were seen.
    pub(super) fn learn_lengths(&mut self, seen: Vec<Option<ImagePoint>>) {
        for (limb, length) in self.limbs.iter().zip(&mut self.lengths_px) {
            if let (Some(a), Some(b)) = (place_of(&seen, limb.from), place_of(&seen, limb.to)) {
                let now = a.distance_px(b);
                *length = Some(length.map_or(now, |old| old + LIMB_LENGTH_LEARNT * (now - old)));
            }
        }
        self.previous = seen;
    }

    /// What any marker's place is judged by; `places` is where the others are.
    pub fn evidence(&self, marker: usize, at: ImagePoint, places: &Places) -> SkeletonEvidence {
        let is_crowded = places
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != marker)
            .filter_map(|(_, place)| *place)
            .any(|place| place.distance_px(at) < APART_PX);
        let limb_change_ratio =
            self.limbs_at(marker, at, places).map(LimbLength::change_ratio).fold(0.0, f64::max);
        SkeletonEvidence { is_crowded, limb_change_ratio }
    }

    /// The lesser of the largest stretch and the largest shrinkage of a marker's limbs.
    pub fn slide_ratio(&self, marker: usize, at: ImagePoint, places: &Places) -> f64 {
        let (mut longer, mut shorter) = (0.0_f64, 0.0_f64);
        for limb in self.limbs_at(marker, at, places).filter(|limb| limb.usual_px > 0.0) {
            let change = (limb.now_px - limb.usual_px) / limb.usual_px;
            (longer, shorter) = (longer.max(change), shorter.max(-change));
        }
        longer.min(shorter)
    }

    /// The lengths of a marker's limbs with the marker at a place.
    fn limbs_at(
        &self,
        marker: usize,
        at: ImagePoint,
        places: &Places,
    ) -> impl Iterator<Item = LimbLength> {
        self.neighbours(marker).filter_map(move |other| {
            let now_px = place_of(places, other.marker)?.distance_px(at);
            Some(LimbLength { now_px, usual_px: other.length_px })
        })
    }
}

/// How long a limb is now, and usually.
#[derive(Clone, Copy)]
struct LimbLength {
    now_px: f64,
    usual_px: f64,
}

impl LimbLength {
    /// The share by which it is longer or shorter than usual, beyond what is nothing on a short limb.
    fn change_ratio(self) -> f64 {
        if self.usual_px <= 0.0 {
            return 0.0;
        }
        ((self.now_px - self.usual_px).abs() - LIMB_SLACK_PX).max(0.0) / self.usual_px
    }
}
