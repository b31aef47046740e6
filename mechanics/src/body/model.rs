//! The segments of the body for a segment table and a marker set.

use super::de_leva::{self, DeLevaPair, DeLevaRow};
use super::segment::{End, Limb, Segment};
use super::table::Table;
use super::winter::{self, WinterRow};
use crate::landmark::{Joint, Landmark, MarkerSet};
use crate::space::Side;

/// Median distances between landmarks in one trial: the lengths of the rigid segments.
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

/// The segments that a marker set gives, and how they follow from the landmarks.
///
/// Legs: thighs, shanks and feet only. Near side and both sides: also arms and trunk with head.
///
/// Winter's table: the trunk, neck and head are one rigid segment from the mid-hip to the mid-shoulder
/// (his row "trunk, head and neck"); the forearm with the hand is one. The head marker is drawn, not computed with.
///
/// de Leva's tables: the trunk goes from the mid-shoulder to the mid-hip. The head's centre is taken at the ear
/// canal, and the head turns with the line from the mid-shoulder to the ear canal. Its radius and the lengths of hand
/// and foot are the sample's means, in proportion to a measured length. The greater trochanter, the epicondyles and the
/// malleolus stand for the joint centres of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct BodyModel {
    /// Its segments; their masses sum to that of the body, or of the legs.
    pub segments: Vec<Segment>,
    /// Whether the segments are the whole body, so that its centre of mass is known.
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

    /// The landmarks of the near side and the middle that every result needs.
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

    /// The weight of each landmark in the centre of mass, `sum(m x) / sum(m)`; the weights sum to 1.
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

/// What a segment is and between which ends it lies.
#[derive(Clone, Copy)]
struct Link {
    name: &'static str,
    limb: Limb,
    from: End,
    to: End,
}

/// Mass, centre of mass and radius of gyration of a segment, for a body of 1 kg.
#[derive(Clone, Copy)]
struct Inertia {
    mass_fraction: f64,
    centre_fraction: f64,
    radius_m: f64,
}

impl Inertia {
    fn winter(row: WinterRow, length_m: f64) -> Self {
        Self {
            mass_fraction: row.mass_fraction,
            centre_fraction: row.centre_fraction,
            radius_m: row.radius_fraction.unwrap_or(0.0) * length_m,
        }
    }

    fn de_leva(row: DeLevaRow, length_m: f64) -> Self {
        Self {
            mass_fraction: row.mass_fraction,
            centre_fraction: row.centre_fraction,
            radius_m: row.mediolateral_fraction * length_m,
        }
    }
}

/// A segment of a body of 1 kg.
fn segment(link: Link, inertia: Inertia) -> Segment {
    let Link { name, limb, from, to } = link;
    let Inertia { mass_fraction, centre_fraction, radius_m } = inertia;
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
    let link =
        |name, from, to| Link { name, limb, from: End::Of(from, side), to: End::Of(to, side) };
    let thigh = link("thigh", Joint::Hip, Joint::Knee);
    let Some(pick) = row_of_sex(table) else {
        let shank = link("leg", Joint::Knee, Joint::Ankle);
        let foot = link("foot", Joint::Ankle, Joint::Toe);
        return [
            segment(thigh, Inertia::winter(winter::WINTER_THIGH, lengths.thigh_m)),
            segment(shank, Inertia::winter(winter::WINTER_SHANK, lengths.shank_m)),
            segment(foot, Inertia::winter(winter::WINTER_FOOT, lengths.foot_m)),
        ];
    };
    let shank = link("shank", Joint::Knee, Joint::Ankle);
    let shank_row = pick(de_leva::SHANK_KJC_LMAL);
    let foot = pick(de_leva::FOOT_HEEL_TTIP);
    let foot_m = foot.length_m / shank_row.length_m * lengths.shank_m;
    let foot_inertia = Inertia {
        mass_fraction: foot.mass_fraction,
        centre_fraction: foot.centre_fraction * foot_m / lengths.sole_m,
        radius_m: foot.mediolateral_fraction * foot_m,
    };
    [
        segment(thigh, Inertia::de_leva(pick(de_leva::THIGH_HJC_KJC), lengths.thigh_m)),
        segment(shank, Inertia::de_leva(shank_row, lengths.shank_m)),
        segment(link("foot", Joint::Heel, Joint::Toe), foot_inertia),
    ]
}

fn arm(table: Table, side: Side, lengths: &Lengths) -> Vec<Segment> {
    let limb = if side == Side::Near { Limb::NearArm } else { Limb::FarArm };
    let link =
        |name, from, to| Link { name, limb, from: End::Of(from, side), to: End::Of(to, side) };
    let upper_arm = link("upper arm", Joint::Shoulder, Joint::Elbow);
    let below_elbow = |name| link(name, Joint::Elbow, Joint::Wrist);
    let Some(pick) = row_of_sex(table) else {
        let forearm = Inertia::winter(winter::WINTER_FOREARM_HAND, lengths.forearm_m);
        return vec![
            segment(upper_arm, Inertia::winter(winter::WINTER_UPPER_ARM, lengths.upper_arm_m)),
            segment(below_elbow(winter::WINTER_FOREARM_HAND.segment), forearm),
        ];
    };
    let forearm = pick(de_leva::FOREARM_EJC_STYL);
    let hand = pick(de_leva::HAND_STYL_MET3);
    let hand_ratio = hand.length_m / forearm.length_m;
    let hand_inertia = Inertia {
        mass_fraction: hand.mass_fraction,
        centre_fraction: 1.0 + hand.centre_fraction * hand_ratio,
        radius_m: hand.mediolateral_fraction * hand_ratio * lengths.forearm_m,
    };
    let upper_arm_row = pick(de_leva::UPPER_ARM_SJC_EJC);
    vec![
        segment(upper_arm, Inertia::de_leva(upper_arm_row, lengths.upper_arm_m)),
        segment(below_elbow("forearm"), Inertia::de_leva(forearm, lengths.forearm_m)),
        segment(below_elbow("hand"), hand_inertia),
    ]
}

fn trunk(table: Table, lengths: &Lengths) -> Vec<Segment> {
    let (hips, shoulders) = (End::Middle(Joint::Hip), End::Middle(Joint::Shoulder));
    let link = |name, from, to| Link { name, limb: Limb::Trunk, from, to };
    let Some(pick) = row_of_sex(table) else {
        let row = winter::WINTER_TRUNK_HEAD_NECK;
        let trunk = link(row.segment, hips, shoulders);
        return vec![segment(trunk, Inertia::winter(row, lengths.trunk_m))];
    };
    let trunk = pick(de_leva::TRUNK_MIDS_MIDH);
    let head = pick(de_leva::HEAD_VERT_MIDG);
    let head_m = head.length_m / trunk.length_m * lengths.trunk_m;
    let head_inertia = Inertia {
        mass_fraction: head.mass_fraction,
        centre_fraction: 1.0,
        radius_m: head.mediolateral_fraction * head_m,
    };
    vec![
        segment(link("trunk", shoulders, hips), Inertia::de_leva(trunk, lengths.trunk_m)),
        segment(link("head", shoulders, End::Of(Joint::Head, Side::Near)), head_inertia),
    ]
}

/// Picks the row of the table's sex; none for Winter's table.
fn row_of_sex(table: Table) -> Option<fn(DeLevaPair) -> DeLevaRow> {
    match table {
        Table::WinterDempster => None,
        Table::DeLevaFemale => Some(|pair| pair.female),
        Table::DeLevaMale => Some(|pair| pair.male),
    }
}
