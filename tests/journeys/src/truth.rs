//! True places of the landmarks in clips of known truth.

use crate::csv_rows::rows;
use crate::error::Result;
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use std::collections::BTreeMap;
use std::path::Path;

/// Places in pixels, one per frame, and whether each is visible.
#[derive(Clone, Debug, Default)]
pub struct Truth {
    /// By landmark.
    pub places: BTreeMap<Landmark, Vec<Pixel>>,
    /// By landmark; those not listed are always visible.
    pub visible: BTreeMap<Landmark, Vec<bool>>,
}

/// Columns of the files beside the project, for a runner whose right side is near.
const COLUMNS: [(&str, Landmark); 9] = [
    ("R_hip", Landmark::NearHip),
    ("R_knee", Landmark::NearKnee),
    ("R_ankle", Landmark::NearAnkle),
    ("R_heel", Landmark::NearHeel),
    ("R_mt5", Landmark::NearToe),
    ("R_shoulder", Landmark::NearShoulder),
    ("R_elbow", Landmark::NearElbow),
    ("R_wrist", Landmark::NearWrist),
    ("head", Landmark::Head),
];

impl Truth {
    /// From a file with columns `R_hip_x, R_hip_y, …` in pixels.
    ///
    /// # Errors
    /// When the file is missing or has another form.
    pub fn of_csv(path: &Path) -> Result<Self> {
        let mut truth = Self::default();
        for row in rows(&std::fs::read_to_string(path)?)? {
            for (name, landmark) in COLUMNS {
                let number = |axis: &str| -> Result<f64> {
                    let column = format!("{name}_{axis}");
                    let cell = row.get(&column).ok_or_else(|| format!("no column {column}"))?;
                    Ok(cell.parse()?)
                };
                let place = Pixel { x_px: number("x")?, y_px: number("y")? };
                truth.places.entry(landmark).or_default().push(place);
            }
        }
        Ok(truth)
    }

    /// From the generator's file beside a clip of the example.
    ///
    /// # Errors
    /// When the file is missing or has another form.
    pub fn of_json(path: &Path) -> Result<Self> {
        let all: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(path)?)?;
        let mut truth = Self::default();
        let landmarks = all.get("landmarks").and_then(|l| l.as_object()).ok_or("no landmarks")?;
        for (name, columns) in landmarks {
            let landmark: Landmark = serde_json::from_value(name.clone().into())?;
            let numbers = |column: &str| -> Vec<f64> {
                columns
                    .get(column)
                    .and_then(|c| c.as_array())
                    .into_iter()
                    .flatten()
                    .filter_map(serde_json::Value::as_f64)
                    .collect()
            };
            let places = numbers("x_px").into_iter().zip(numbers("y_px"));
            truth
                .places
                .insert(landmark, places.map(|(x_px, y_px)| Pixel { x_px, y_px }).collect());
            truth
                .visible
                .insert(landmark, numbers("visible").into_iter().map(|v| v > 0.5).collect());
        }
        Ok(truth)
    }

    /// Whether a landmark is visible in a frame.
    #[must_use]
    pub fn is_visible(&self, landmark: Landmark, frame: usize) -> bool {
        self.visible.get(&landmark).and_then(|v| v.get(frame)).copied().unwrap_or(true)
    }
}
