//! The whole body as segments, for a table and a marker set.

use super::anthropometry as winter;
use super::de_leva::{self, DeLevaPair, DeLevaRow};
use super::segment::End;
use super::{Joint, Landmark, Limb, MarkerSet, Segment, Table};
use crate::space::Side;

/// Usual distances between landmarks in one trial, which make rigid segments of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lengths {
    /// Hip to knee.
    pub thigh_m: f64,
    /// Knee to ankle.
    pub shank_m: f64,
    /// Ankle to toe.
    pub foot_m: f64,
    /// Heel to toe.
    pub sole_m: f64,
    /// Mid-hip to mid-shoulder.
    pub trunk_m: f64,
    /// Shoulder to elbow.
    pub upper_arm_m: f64,
    /// Elbow to wrist.
    pub forearm_m: f64,
}

/// The segments that a marker set makes, with what they are taken from.
///
/// Legs: thighs, shanks and feet only. Near side and both sides: also arms and trunk with head.
///
/// Winter's table: the trunk, neck and head are one rigid segment from the mid-hip to the mid-shoulder
/// (his row "trunk, head and neck"), the forearm with the hand is one. The head marker is drawn only.
///
/// de Leva's tables: the trunk goes from the mid-shoulder to the mid-hip; the head's centre is taken to
/// be the ear canal and it turns with the line from the mid-shoulder to the ear canal; its radius and the hand's and foot's
/// lengths are the sample's means in proportion to a length that is measured. The greater trochanter, the
/// epicondyles and the malleolus stand for the joint centres of that table.
#[derive(Clone, Debug, PartialEq)]
pub struct BodyModel {
    /// Its segments; masses sum to the body's (whole body) or to that of the legs.
    pub segments: Vec<Segment>,
    /// Whether the segments are the whole body, so that there is a centre of mass.
    pub whole_body: bool,
}

impl BodyModel {
    /// The model for this runner.
    #[must_use]
    pub fn new(table: Table, set: MarkerSet, mass_kg: f64, lengths: &Lengths) -> Self {
        let whole_body = set != MarkerSet::Legs;
        let mut segments = Vec::with_capacity(14);
        for side in [Side::Near, Side::Far] {
            segments.extend(leg(table, side, lengths));
            if whole_body {
                segments.extend(arm(table, side, lengths));
            }
        }
        if whole_body {
            segments.extend(trunk(table, lengths));
        }
        for segment in &mut segments {
            segment.mass_kg *= mass_kg;
            segment.inertia_kg_m2 *= mass_kg;
        }
        Self { segments, whole_body }
    }

    /// The landmarks of the near side and the middle without which there is no result.
    #[must_use]
    pub fn needed(table: Table, set: MarkerSet) -> Vec<Landmark> {
        let mut needed = vec![
            Landmark::NearHip,
            Landmark::NearKnee,
            Landmark::NearAnkle,
            Landmark::NearHeel,
            Landmark::NearToe,
        ];
        if set != MarkerSet::Legs {
            needed.extend([Landmark::NearShoulder, Landmark::NearElbow, Landmark::NearWrist]);
            if table != Table::WinterDempster {
                needed.push(Landmark::Head);
            }
        }
        needed
    }

    /// How much each landmark counts in the centre of mass, `sum(m x) / sum(m)`; the parts sum to 1.
    #[must_use]
    pub fn weights(&self) -> [f64; Landmark::ALL.len()] {
        let mut weights = [0.0; Landmark::ALL.len()];
        let mut add = |end: End, weight: f64| {
            let of: &[(Landmark, f64)] = match end {
                End::Of(joint, side) => &[(Landmark::of(joint, side), 1.0)],
                End::Middle(joint) => {
                    &[(Landmark::of(joint, Side::Near), 0.5), (Landmark::of(joint, Side::Far), 0.5)]
                }
            };
            for (landmark, part) in of {
                if let Some(sum) = weights.get_mut(landmark.index()) {
                    *sum += weight * part;
                }
            }
        };
        let whole_kg = self.mass_kg();
        for segment in &self.segments {
            let part = segment.mass_kg / whole_kg;
            add(segment.from, part * (1.0 - segment.centre_fraction));
            add(segment.to, part * segment.centre_fraction);
        }
        weights
    }

    /// Sum of the masses of the segments.
    #[must_use]
    pub fn mass_kg(&self) -> f64 {
        self.segments.iter().map(|s| s.mass_kg).sum()
    }
}

/// A segment for a body of 1 kg.
fn segment(
    (name, limb): (&'static str, Limb),
    (from, to): (End, End),
    mass_fraction: f64,
    centre_fraction: f64,
    radius_m: f64,
) -> Segment {
    Segment {
        name,
        limb,
        from,
        to,
        mass_kg: mass_fraction,
        centre_fraction,
        inertia_kg_m2: mass_fraction * radius_m * radius_m,
    }
}

fn leg(table: Table, side: Side, lengths: &Lengths) -> [Segment; 3] {
    let limb = if side == Side::Near { Limb::NearLeg } else { Limb::FarLeg };
    let of = |joint| End::Of(joint, side);
    let thigh = (of(Joint::Hip), of(Joint::Knee));
    let shank = (of(Joint::Knee), of(Joint::Ankle));
    let Some(pick) = sex(table) else {
        let rows = [
            (winter::WINTER_THIGH, thigh, lengths.thigh_m),
            (winter::WINTER_SHANK, shank, lengths.shank_m),
            (winter::WINTER_FOOT, (of(Joint::Ankle), of(Joint::Toe)), lengths.foot_m),
        ];
        return rows.map(|(row, ends, length_m)| winter_segment(row, limb, ends, length_m));
    };
    let foot = pick(de_leva::FOOT_HEEL_TTIP);
    let foot_m = foot.length_m / pick(de_leva::SHANK_KJC_LMAL).length_m * lengths.shank_m;
    [
        de_leva_segment("thigh", limb, thigh, (pick(de_leva::THIGH_HJC_KJC), lengths.thigh_m)),
        de_leva_segment("shank", limb, shank, (pick(de_leva::SHANK_KJC_LMAL), lengths.shank_m)),
        segment(
            ("foot", limb),
            (of(Joint::Heel), of(Joint::Toe)),
            foot.mass_fraction,
            foot.centre_fraction * foot_m / lengths.sole_m,
            foot.mediolateral_fraction * foot_m,
        ),
    ]
}

fn arm(table: Table, side: Side, lengths: &Lengths) -> Vec<Segment> {
    let limb = if side == Side::Near { Limb::NearArm } else { Limb::FarArm };
    let upper = (End::Of(Joint::Shoulder, side), End::Of(Joint::Elbow, side));
    let fore = (End::Of(Joint::Elbow, side), End::Of(Joint::Wrist, side));
    let Some(pick) = sex(table) else {
        return vec![
            winter_segment(winter::WINTER_UPPER_ARM, limb, upper, lengths.upper_arm_m),
            winter_segment(winter::WINTER_FOREARM_HAND, limb, fore, lengths.forearm_m),
        ];
    };
    let forearm = pick(de_leva::FOREARM_EJC_STYL);
    let hand = pick(de_leva::HAND_STYL_MET3);
    let hand_ratio = hand.length_m / forearm.length_m;
    vec![
        de_leva_segment(
            "upper arm",
            limb,
            upper,
            (pick(de_leva::UPPER_ARM_SJC_EJC), lengths.upper_arm_m),
        ),
        de_leva_segment("forearm", limb, fore, (forearm, lengths.forearm_m)),
        segment(
            ("hand", limb),
            fore,
            hand.mass_fraction,
            1.0 + hand.centre_fraction * hand_ratio,
            hand.mediolateral_fraction * hand_ratio * lengths.forearm_m,
        ),
    ]
}

fn trunk(table: Table, lengths: &Lengths) -> Vec<Segment> {
    let (hips, shoulders) = (End::Middle(Joint::Hip), End::Middle(Joint::Shoulder));
    let Some(pick) = sex(table) else {
        let row = winter::WINTER_TRUNK_HEAD_NECK;
        return vec![winter_segment(row, Limb::Trunk, (hips, shoulders), lengths.trunk_m)];
    };
    let trunk = pick(de_leva::TRUNK_MIDS_MIDH);
    let head = pick(de_leva::HEAD_VERT_MIDG);
    let head_m = head.length_m / trunk.length_m * lengths.trunk_m;
    vec![
        de_leva_segment("trunk", Limb::Trunk, (shoulders, hips), (trunk, lengths.trunk_m)),
        segment(
            ("head", Limb::Trunk),
            (shoulders, End::Of(Joint::Head, Side::Near)),
            head.mass_fraction,
            1.0,
            head.mediolateral_fraction * head_m,
        ),
    ]
}

fn winter_segment(row: winter::WinterRow, limb: Limb, ends: (End, End), length_m: f64) -> Segment {
    let radius_m = row.radius_fraction.unwrap_or(0.0) * length_m;
    segment((row.segment, limb), ends, row.mass_fraction, row.centre_fraction, radius_m)
}

fn de_leva_segment(
    name: &'static str,
    limb: Limb,
    ends: (End, End),
    (row, length_m): (DeLevaRow, f64),
) -> Segment {
    let radius_m = row.mediolateral_fraction * length_m;
    segment((name, limb), ends, row.mass_fraction, row.centre_fraction, radius_m)
}

/// Picks the row of the table's sex; none for Winter's table.
fn sex(table: Table) -> Option<fn(DeLevaPair) -> DeLevaRow> {
    match table {
        Table::WinterDempster => None,
        Table::DeLevaFemale => Some(|pair| pair.female),
        Table::DeLevaMale => Some(|pair| pair.male),
    }
}
