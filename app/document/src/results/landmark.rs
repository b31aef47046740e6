//! Names of landmarks on screen and in files.

use mechanics::body::Landmark;

/// The name of a landmark on screen: `near knee`, `head`.
#[must_use]
pub fn landmark_name(landmark: Landmark) -> String {
    landmark.to_string().trim_start_matches("the ").to_owned()
}

/// The name of a landmark in exported files, as in session files: `near_knee`, `head`.
pub(super) fn landmark_key(landmark: Landmark) -> String {
    serde_json::to_value(landmark)
        .ok()
        .and_then(|name| name.as_str().map(str::to_owned))
        .unwrap_or_default()
}
