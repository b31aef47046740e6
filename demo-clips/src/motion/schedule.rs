//! Contacts and toe-offs of both feet, and where the feet land.

use super::style::Style;
use crate::body::Side;
use crate::noise;

/// One contact of a foot and the swing that follows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// The side of the foot.
    pub side: Side,
    /// Time of contact.
    pub contact_s: f64,
    /// Time of toe-off.
    pub toe_off_s: f64,
    /// Position of the ball of the foot at contact.
    pub plant_m: f64,
    /// Knee flexion in the swing that follows over that of the style.
    pub fold_ratio: f64,
}

/// All steps in order, near foot first, from before the first frame to after the last.
#[derive(Clone, Debug, PartialEq)]
pub struct Schedule {
    steps: Vec<Step>,
}

/// Chosen: strides before the first frame and after the last, so that every frame has neighbours.
const MARGIN_STRIDES: f64 = 3.0;

impl Schedule {
    /// The steps of a clip.
    ///
    /// Both steps of a stride get the same variation, so that the legs are alike.
    #[must_use]
    pub fn new(style: &Style, length_s: f64, seed: u64) -> Self {
        let stride_s = 2.0 * style.step_s;
        let mut contact_s = -(MARGIN_STRIDES + style.first_frame_fraction) * stride_s;
        let mut steps = Vec::new();
        let mut index = 0_i64;
        while contact_s < length_s + MARGIN_STRIDES * stride_s {
            let draw = |channel| {
                style.variation_fraction * noise::normal(seed ^ 0x57E9, index / 2, channel)
            };
            steps.push(Step {
                side: if index % 2 == 0 { Side::Near } else { Side::Far },
                contact_s,
                toe_off_s: contact_s + style.contact_s * (1.0 + 0.7 * draw(1)),
                plant_m: style.landing_m * (1.0 + draw(2)),
                fold_ratio: 1.0 + draw(3),
            });
            contact_s += style.step_s * (1.0 + 0.7 * draw(0));
            index += 1;
        }
        Self { steps }
    }

    /// All steps in order.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// Index of the last step that has landed by a time.
    #[must_use]
    pub fn latest(&self, time_s: f64) -> usize {
        self.steps.partition_point(|step| step.contact_s <= time_s).saturating_sub(1)
    }

    /// Index of the last step of one foot that has landed by a time.
    #[must_use]
    pub fn latest_of(&self, side: Side, time_s: f64) -> usize {
        let latest = self.latest(time_s);
        if self.steps[latest].side == side { latest } else { latest.saturating_sub(1) }
    }

    /// Near strides passed: smooth in time and a whole number at every near contact.
    #[must_use]
    pub fn strides_passed(&self, time_s: f64) -> f64 {
        let here = self.latest(time_s).clamp(1, self.steps.len() - 3);
        let contact = |step: usize| self.steps[step].contact_s;
        let width_s = contact(here + 1) - contact(here);
        // Steps per second at both ends, from the neighbours, times the duration of this step.
        let rate_here = 2.0 * width_s / (contact(here + 1) - contact(here - 1));
        let rate_next = 2.0 * width_s / (contact(here + 2) - contact(here));
        let u = (time_s - contact(here)) / width_s;
        let bend = u * (1.0 - u) * (rate_here * (1.0 - u) - rate_next * u);
        0.5 * (here as f64 + u * u * (3.0 - 2.0 * u) + bend)
    }
}
