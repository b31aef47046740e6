//! The shoe: a flat sole with a round toe, which rolls on the belt without slipping.

use super::point::Point;
use super::proportions::Proportions;

/// The shoe in the frame of the foot: origin in the ankle, x towards the toes, y up, in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shoe {
    /// Height of the ankle above the underside of the flat sole.
    pub ankle_height_m: f64,
    /// The end of the flat sole, where the round toe begins, ahead of the ankle.
    pub ball_m: f64,
    /// Radius of the round toe.
    pub toe_radius_m: f64,
}

impl Shoe {
    /// Chosen: a sole 20 mm thick whose toe has a radius of 90 mm, like a rockered shoe.
    #[must_use]
    pub fn fitting(lengths: &Proportions) -> Self {
        Self { ankle_height_m: lengths.ankle_height_m + 0.020, ball_m: 0.135, toe_radius_m: 0.090 }
    }

    /// The marker on the back of the heel. Chosen: 48 mm above the underside.
    #[must_use]
    pub fn heel_marker(&self) -> Point {
        Point::new(-0.050, 0.048 - self.ankle_height_m)
    }

    /// The marker over the head of the fifth metatarsal. Chosen: 42 mm above the underside.
    #[must_use]
    pub fn toe_marker(&self) -> Point {
        Point::new(0.122, 0.042 - self.ankle_height_m)
    }

    /// Position of the ankle when the sole touches the belt at a pitch (toes down negative).
    ///
    /// `ball_m` is the position of the end of the flat sole when the foot is flat. With the toes down
    /// the round toe rolls: its centre is toe_radius above the belt and moves forward by toe_radius
    /// times the angle. Toes up does not occur in this runner; the foot then pivots on the ball.
    #[must_use]
    pub fn ankle_when_planted(&self, ball_m: f64, foot_rad: f64) -> Point {
        let rolled_rad = (-foot_rad).max(0.0);
        let centre = Point::new(ball_m + self.toe_radius_m * rolled_rad, self.toe_radius_m);
        let from_centre = Point::new(-self.ball_m, self.ankle_height_m - self.toe_radius_m);
        centre.offset(from_centre, foot_rad)
    }

    /// Height of the lowest point of the sole, in the air or on the belt.
    #[must_use]
    pub fn lowest_m(&self, ankle: Point, foot_rad: f64) -> f64 {
        let centre = ankle
            .offset(Point::new(self.ball_m, self.toe_radius_m - self.ankle_height_m), foot_rad);
        // Beyond the end of the arc the tip of the toe is lowest.
        let tip_rad = (-foot_rad).clamp(0.0, TOE_ARC_RAD);
        let toe_m = centre.y_m - self.toe_radius_m * (tip_rad + foot_rad).cos();
        let heel = ankle.offset(Point::new(HEEL_END_M, -self.ankle_height_m), foot_rad);
        toe_m.min(heel.y_m)
    }
}

/// Chosen: the angle of the round toe, in radians.
pub const TOE_ARC_RAD: f64 = 0.85;
/// Chosen: the back end of the flat sole, behind the ankle.
pub const HEEL_END_M: f64 = -0.060;
