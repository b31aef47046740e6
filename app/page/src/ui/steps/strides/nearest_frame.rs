//! The frame nearest to a time.

/// The frame nearest to a time, among frames at these times.
#[must_use]
pub fn nearest_frame(times_s: &[f64], time_s: f64) -> u32 {
    let after = times_s.partition_point(|t| *t < time_s);
    let nearest = match (after.checked_sub(1).and_then(|i| times_s.get(i)), times_s.get(after)) {
        (Some(before), Some(next)) if time_s - before < next - time_s => after - 1,
        (Some(_), None) => after - 1,
        _ => after,
    };
    u32::try_from(nearest).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::nearest_frame;

    #[test]
    fn the_nearer_of_two_frames_is_found_and_the_clip_is_never_left() {
        let times_s = [0.0, 0.1, 0.2];
        let found = [-1.0, 0.04, 0.06, 0.19, 5.0].map(|time_s| nearest_frame(&times_s, time_s));
        assert_eq!(found, [0, 0, 1, 2, 2]);
    }
}
