//! Winter's segment table after Dempster, complete; each row names its source and table.

use crate::source::Source;

/// A row of Winter's table, in fractions of the body's mass and of the segment's length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WinterRow {
    /// Segment.
    pub segment: &'static str,
    /// End points, proximal then distal.
    pub end_points: &'static str,
    /// Mass as a fraction of body mass.
    pub mass_fraction: f64,
    /// Centre of mass from the first end point.
    pub centre_fraction: f64,
    /// Radius of gyration about the centre of mass, mediolateral axis; not published for parts of the trunk.
    pub radius_fraction: Option<f64>,
    /// Radii of gyration about the end points, as printed.
    pub end_radii: EndRadii,
    /// Where it was published.
    pub source: Source,
}

/// Radii of gyration about the end points, mediolateral axis; none if not published.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndRadii {
    /// About the first (proximal) end point.
    pub proximal_fraction: Option<f64>,
    /// About the second (distal) end point.
    pub distal_fraction: Option<f64>,
}

const WINTER: Source = Source { work: "Winter 2009, after Dempster 1955", locus: "Table 4.1" };

/// A row with its numbers in the order of print: mass, centre, then the radii about the centre and both ends.
const fn row(
    segment: &'static str,
    end_points: &'static str,
    [mass, centre]: [f64; 2],
    [about_centre, proximal, distal]: [Option<f64>; 3],
) -> WinterRow {
    WinterRow {
        segment,
        end_points,
        mass_fraction: mass,
        centre_fraction: centre,
        radius_fraction: about_centre,
        end_radii: EndRadii { proximal_fraction: proximal, distal_fraction: distal },
        source: WINTER,
    }
}

/// Winter's hand.
const WINTER_HAND: WinterRow = row(
    "hand",
    "wrist axis / knuckle II of the middle finger",
    [0.006, 0.506],
    [Some(0.297), Some(0.587), Some(0.577)],
);
/// Winter's forearm.
const WINTER_FOREARM: WinterRow = row(
    "forearm",
    "elbow axis / ulnar styloid",
    [0.016, 0.430],
    [Some(0.303), Some(0.526), Some(0.647)],
);
/// Winter's upper arm.
pub const WINTER_UPPER_ARM: WinterRow = row(
    "upper arm",
    "glenohumeral axis / elbow axis",
    [0.028, 0.436],
    [Some(0.322), Some(0.542), Some(0.645)],
);
/// Winter's forearm with hand.
pub const WINTER_FOREARM_HAND: WinterRow = row(
    "forearm and hand",
    "elbow axis / ulnar styloid",
    [0.022, 0.682],
    [Some(0.468), Some(0.827), Some(0.565)],
);
/// Winter's whole arm.
pub const WINTER_TOTAL_ARM: WinterRow = row(
    "total arm",
    "glenohumeral joint / ulnar styloid",
    [0.050, 0.530],
    [Some(0.368), Some(0.645), Some(0.596)],
);
/// Winter's foot.
pub const WINTER_FOOT: WinterRow = row(
    "foot",
    "lateral malleolus / head of metatarsal II",
    [0.0145, 0.50],
    [Some(0.475), Some(0.690), Some(0.690)],
);
/// Winter's leg, here called shank.
pub const WINTER_SHANK: WinterRow = row(
    "leg",
    "femoral condyles / medial malleolus",
    [0.0465, 0.433],
    [Some(0.302), Some(0.528), Some(0.643)],
);
/// Winter's thigh.
pub const WINTER_THIGH: WinterRow = row(
    "thigh",
    "greater trochanter / femoral condyles",
    [0.100, 0.433],
    [Some(0.323), Some(0.540), Some(0.653)],
);
/// Winter's foot with leg.
const WINTER_FOOT_SHANK: WinterRow = row(
    "foot and leg",
    "femoral condyles / medial malleolus",
    [0.061, 0.606],
    [Some(0.416), Some(0.735), Some(0.572)],
);
/// Winter's whole leg. The printed end radii disagree with the other columns; the radius about the centre is used.
pub const WINTER_TOTAL_LEG: WinterRow = row(
    "total leg",
    "greater trochanter / medial malleolus",
    [0.161, 0.447],
    [Some(0.326), Some(0.560), Some(0.650)],
);
/// Winter's head with neck. Some copies print 0.116 for the proximal radius; 1.116 is right.
pub const WINTER_HEAD_NECK: WinterRow = row(
    "head and neck",
    "C7-T1 and first rib / ear canal",
    [0.081, 1.0],
    [Some(0.495), Some(1.116), None],
);
/// Winter's thorax.
const WINTER_THORAX: WinterRow =
    row("thorax", "C7-T1 / T12-L1 and diaphragm", [0.216, 0.82], [None, None, None]);
/// Winter's abdomen.
const WINTER_ABDOMEN: WinterRow =
    row("abdomen", "T12-L1 / L4-L5", [0.139, 0.44], [None, None, None]);
/// Winter's pelvis.
const WINTER_PELVIS: WinterRow =
    row("pelvis", "L4-L5 / greater trochanter", [0.142, 0.105], [None, None, None]);
/// Winter's thorax with abdomen.
const WINTER_THORAX_ABDOMEN: WinterRow =
    row("thorax and abdomen", "C7-T1 / L4-L5", [0.355, 0.63], [None, None, None]);
/// Winter's abdomen with pelvis.
const WINTER_ABDOMEN_PELVIS: WinterRow =
    row("abdomen and pelvis", "T12-L1 / greater trochanter", [0.281, 0.27], [None, None, None]);
/// Winter's trunk; its centre is measured from the greater trochanter.
const WINTER_TRUNK: WinterRow =
    row("trunk", "greater trochanter / glenohumeral joint", [0.497, 0.50], [None, None, None]);
/// Winter's trunk with head and neck; its centre is measured from the greater trochanter.
pub const WINTER_TRUNK_HEAD_NECK: WinterRow = row(
    "trunk, head and neck",
    "greater trochanter / glenohumeral joint",
    [0.578, 0.66],
    [Some(0.503), Some(0.830), Some(0.607)],
);
/// Winter's head, arms and trunk; its centre is measured from the greater trochanter.
pub const WINTER_HAT: WinterRow = row(
    "head, arms and trunk",
    "greater trochanter / glenohumeral joint",
    [0.678, 0.626],
    [Some(0.496), Some(0.798), Some(0.621)],
);
/// Winter's head, arms and trunk by the mid rib; its centre is measured from the greater trochanter.
pub const WINTER_HAT_RIB: WinterRow = row(
    "head, arms and trunk",
    "greater trochanter / mid rib",
    [0.678, 1.142],
    [Some(0.903), Some(1.456), None],
);

/// Every row of Winter's table.
pub const WINTER_ROWS: [WinterRow; 20] = [
    WINTER_HAND,
    WINTER_FOREARM,
    WINTER_UPPER_ARM,
    WINTER_FOREARM_HAND,
    WINTER_TOTAL_ARM,
    WINTER_FOOT,
    WINTER_SHANK,
    WINTER_THIGH,
    WINTER_FOOT_SHANK,
    WINTER_TOTAL_LEG,
    WINTER_HEAD_NECK,
    WINTER_THORAX,
    WINTER_ABDOMEN,
    WINTER_PELVIS,
    WINTER_THORAX_ABDOMEN,
    WINTER_ABDOMEN_PELVIS,
    WINTER_TRUNK,
    WINTER_TRUNK_HEAD_NECK,
    WINTER_HAT,
    WINTER_HAT_RIB,
];
