//! The segments of a body that join the markers.

/// Two markers (by index) at the ends of one segment of the body, whose distance hardly changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limb {
    /// One end.
    pub from: usize,
    /// The other end.
    pub to: usize,
    /// Depth order: a limb of a higher layer hides those of lower ones.
    pub layer: u8,
}

/// The part of the body that a limb belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is the thing it names")]
pub enum Part {
    Trunk,
    /// With its foot.
    Leg,
    Arm,
}

/// Layer of the trunk.
///
/// Exact: between both legs, as the layers of [`Limb::of`] are in order.
const TRUNK: u8 = 2;

impl Limb {
    /// A limb that hides nothing.
    #[must_use]
    pub const fn between(from: usize, to: usize) -> Self {
        Self { from, to, layer: 0 }
    }

    /// A limb of the near or the far side of a body seen from the side: in front is the near arm, then the near leg, the
    /// trunk, the far leg and the far arm.
    #[must_use]
    pub const fn of(from: usize, to: usize, part: Part, far: bool) -> Self {
        let layer = match (part, far) {
            (Part::Arm, false) => 4,
            (Part::Leg, false) => 3,
            (Part::Trunk, _) => TRUNK,
            (Part::Leg, true) => 1,
            (Part::Arm, true) => 0,
        };
        Self { from, to, layer }
    }

    /// Whether it is one of the trunk.
    pub(super) const fn is_trunk(self) -> bool {
        self.layer == TRUNK
    }

    /// Whether it joins these two markers.
    pub(super) fn joins(self, one: usize, other: usize) -> bool {
        self.other_end(one) == Some(other)
    }

    /// The other end of a marker's limb; `None` if it is not its limb.
    pub(super) fn other_end(self, marker: usize) -> Option<usize> {
        match (self.from == marker, self.to == marker) {
            (true, false) => Some(self.to),
            (false, true) => Some(self.from),
            _ => None,
        }
    }
}
