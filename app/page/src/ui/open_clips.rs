//! The clips that are open on the page: the only register of them here.

use document::session::TrialId;
use std::collections::BTreeMap;
use std::rc::Rc;
use web_sys::File;

/// The open clips, and the files that are being opened.
///
/// The conductor changes it and publishes each change to the store, so that the screens follow. Cloned by pointer; two
/// are equal if they are the same.
#[derive(Clone, Debug, Default)]
pub struct OpenClips(Rc<Register>);

#[derive(Clone, Debug, Default)]
struct Register {
    open: BTreeMap<TrialId, File>,
    /// Names of the files being opened.
    opening: Vec<String>,
}

impl PartialEq for OpenClips {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl OpenClips {
    /// Whether the clip of this trial is open.
    #[must_use]
    pub fn is_open(&self, trial: TrialId) -> bool {
        self.0.open.contains_key(&trial)
    }

    /// The file of this trial, if its clip is open.
    #[must_use]
    pub fn file(&self, trial: TrialId) -> Option<File> {
        self.0.open.get(&trial).cloned()
    }

    /// Every open clip with its file.
    #[must_use]
    pub fn all(&self) -> Vec<(TrialId, File)> {
        self.0.open.iter().map(|(trial, file)| (*trial, file.clone())).collect()
    }

    /// Whether a file is being opened.
    #[must_use]
    pub fn is_opening(&self) -> bool {
        !self.0.opening.is_empty()
    }

    /// Names of the files being opened.
    #[must_use]
    pub fn opening(&self) -> &[String] {
        &self.0.opening
    }

    /// The file of this name is being opened.
    pub fn begin(&mut self, name: String) {
        Rc::make_mut(&mut self.0).opening.push(name);
    }

    /// Opening the file of this name ended, perhaps with an error.
    pub fn end(&mut self, name: &str) {
        Rc::make_mut(&mut self.0).opening.retain(|n| n != name);
    }

    /// The clip of this trial is open.
    pub fn insert(&mut self, trial: TrialId, file: File) {
        Rc::make_mut(&mut self.0).open.insert(trial, file);
    }

    /// The clip of this trial is closed.
    pub fn remove(&mut self, trial: TrialId) {
        Rc::make_mut(&mut self.0).open.remove(&trial);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use wasm_bindgen::{JsCast, JsValue};

    #[test]
    fn a_clip_is_open_from_its_insertion_to_its_removal() {
        let mut clips = OpenClips::default();
        clips.begin("a.mp4".into());
        assert!(clips.is_opening() && !clips.is_open(TrialId(1)));
        clips.insert(TrialId(1), JsValue::NULL.unchecked_into());
        clips.end("a.mp4");
        assert!(!clips.is_opening() && clips.is_open(TrialId(1)) && !clips.is_open(TrialId(2)));
        clips.remove(TrialId(1));
        assert!(!clips.is_open(TrialId(1)));
    }

    #[test]
    fn a_published_register_does_not_change_with_later_ones() {
        let mut clips = OpenClips::default();
        let published = clips.clone();
        assert_eq!(published, clips);
        clips.begin("a.mp4".into());
        assert!(clips.is_opening() && !published.is_opening());
        assert_ne!(published, clips);
    }
}
