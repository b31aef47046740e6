//! When to save: soon after each change, at once when the page goes out of sight, never twice at a time.

/// From a change to the beginning of its save. Chosen: a drag's burst of changes is one save, and
/// most of the second within which a change must be kept is left for the save itself.
const WAIT_S: f64 = 0.3;
/// From a failed save to the next attempt, unless something changes before.
const RETRY_S: f64 = 5.0;
/// A save that takes longer is given up on and begun again.
const STALLED_S: f64 = 10.0;

/// What to show.
#[derive(Clone, Debug, PartialEq)]
pub enum SaveState {
    /// Everything is on the device.
    Saved,
    /// A change is on its way.
    Saving,
    /// The last attempt failed, for this reason; another follows by itself.
    NotSaved(String),
}

/// Names one save, so that its end is matched with its beginning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ticket(u64);

/// Decides when to save. Times are seconds on any clock that does not go back.
///
/// A holder calls [`Autosave::changed`] at each change, asks [`Autosave::due_in_s`] when to come
/// back, then [`Autosave::begin`]; with the ticket that gives, it saves the present session and
/// tells [`Autosave::done`].
#[derive(Clone, Debug, Default)]
pub struct Autosave {
    /// Changes so far.
    changes: u64,
    /// Changes that are on the device.
    saved: u64,
    /// When the next save is due, if anything is unsaved.
    due_s: Option<f64>,
    /// The save under way and when it began.
    running: Option<(Ticket, f64)>,
    /// Why the last save failed.
    failure: Option<String>,
}

impl Autosave {
    /// Nothing has changed yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The session changed.
    pub fn changed(&mut self, now_s: f64) {
        self.changes += 1;
        self.come_by(now_s + WAIT_S);
    }

    /// The page goes out of sight and may not come back: what is unsaved is due now, even while an
    /// older save is under way.
    pub fn hiding(&mut self, now_s: f64) {
        if self.saved < self.changes {
            self.come_by(now_s);
        }
        if self.running.is_some_and(|(ticket, _)| ticket.0 < self.changes) {
            self.running = None;
        }
    }

    /// Seconds until [`Autosave::begin`] should be called; none while there is nothing to do.
    #[must_use]
    pub fn due_in_s(&self, now_s: f64) -> Option<f64> {
        let due_s = match self.running {
            Some((_, began_s)) => Some(began_s + STALLED_S),
            None => self.due_s,
        };
        due_s.map(|due_s| (due_s - now_s).max(0.0))
    }

    /// Begins a save if one is due: the caller now saves the session as it stands.
    pub fn begin(&mut self, now_s: f64) -> Option<Ticket> {
        if self.due_in_s(now_s)? > 0.0 {
            return None;
        }
        if self.running.is_some() {
            self.failure = Some("the browser has not answered; it is tried again".into());
        }
        let ticket = Ticket(self.changes);
        self.running = Some((ticket, now_s));
        self.due_s = None;
        Some(ticket)
    }

    /// A save came to its end.
    pub fn done(&mut self, ticket: Ticket, outcome: Result<(), String>, now_s: f64) {
        let awaited = self.running.is_some_and(|(running, _)| running == ticket);
        if awaited {
            self.running = None;
        }
        match outcome {
            Ok(()) => {
                self.saved = self.saved.max(ticket.0);
                self.failure = None;
            }
            Err(reason) if awaited => {
                self.failure = Some(reason);
                self.come_by(now_s + RETRY_S);
            }
            Err(_) => {}
        }
        if self.saved == self.changes {
            self.due_s = None;
        }
    }

    /// What to show.
    #[must_use]
    pub fn state(&self) -> SaveState {
        match &self.failure {
            _ if self.saved == self.changes => SaveState::Saved,
            Some(reason) => SaveState::NotSaved(reason.clone()),
            None => SaveState::Saving,
        }
    }

    fn come_by(&mut self, due_s: f64) {
        self.due_s = Some(self.due_s.map_or(due_s, |already_s| already_s.min(due_s)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Runs a list of changes against saves that take `save_s`, on a clock of 10 ms ticks, and
    /// returns for each change how long after it a save that holds it was complete.
    fn delays_s(changes_s: &[f64], save_s: f64) -> Vec<f64> {
        let (mut saver, mut under_way) = (Autosave::new(), Vec::<(Ticket, f64)>::new());
        let mut kept_s = vec![f64::INFINITY; changes_s.len()];
        for tick in 0..2000 {
            let now_s = f64::from(tick) * 0.01;
            let new = changes_s.iter().filter(|c| (**c - now_s).abs() < 0.005).count();
            (0..new).for_each(|_| saver.changed(now_s));
            for (ticket, _) in under_way.extract_if(.., |(_, began_s)| now_s - *began_s >= save_s) {
                saver.done(ticket, Ok(()), now_s);
                for (kept, change_s) in kept_s.iter_mut().zip(changes_s).take(ticket.0 as usize) {
                    *kept = kept.min(now_s - change_s);
                }
            }
            if let Some(ticket) = saver.begin(now_s) {
                under_way.push((ticket, now_s));
            }
        }
        assert_eq!(saver.state(), SaveState::Saved);
        kept_s
    }

    #[test]
    fn a_change_is_kept_within_a_second() {
        let every_tick: Vec<f64> = (0..500).map(|i| f64::from(i) * 0.01).collect();
        for (changes_s, save_s) in
            [(vec![1.0], 0.01), (vec![1.0, 1.2, 1.9], 0.2), (every_tick, 0.3)]
        {
            for delay_s in delays_s(&changes_s, save_s) {
                assert!(delay_s <= 1.0, "{delay_s} s with saves of {save_s} s");
            }
        }
    }

    #[test]
    fn nothing_is_saved_before_anything_changes_and_nothing_after_all_is_saved() {
        let mut saver = Autosave::new();
        assert_eq!(saver.begin(0.0), None);
        assert_eq!(saver.state(), SaveState::Saved);
        saver.changed(1.0);
        assert_eq!(saver.state(), SaveState::Saving);
        let ticket = saver.begin(2.0).unwrap();
        saver.done(ticket, Ok(()), 2.0);
        assert_eq!(saver.due_in_s(2.0), None);
        assert_eq!(saver.state(), SaveState::Saved);
    }

    #[test]
    fn a_change_during_a_save_is_saved_after_it() {
        let mut saver = Autosave::new();
        saver.changed(0.0);
        let first = saver.begin(0.5).unwrap();
        saver.changed(0.6);
        assert_eq!(saver.begin(1.0), None, "one save at a time");
        saver.done(first, Ok(()), 1.1);
        assert_eq!(saver.state(), SaveState::Saving);
        let second = saver.begin(1.1).unwrap();
        saver.done(second, Ok(()), 1.2);
        assert_eq!(saver.state(), SaveState::Saved);
    }

    #[test]
    fn a_page_that_hides_saves_at_once_even_during_a_save() {
        let mut saver = Autosave::new();
        saver.changed(0.0);
        saver.hiding(0.01);
        let first = saver.begin(0.01).unwrap();
        saver.changed(0.02);
        saver.hiding(0.03);
        let second = saver.begin(0.03).unwrap();
        assert!(second > first);
        saver.done(second, Ok(()), 0.05);
        saver.done(first, Ok(()), 0.06);
        assert_eq!(saver.state(), SaveState::Saved);
        saver.hiding(0.07);
        assert_eq!(saver.begin(0.07), None, "nothing new to save");
    }

    #[test]
    fn a_failed_save_is_shown_and_tried_again_until_it_succeeds() {
        let mut saver = Autosave::new();
        saver.changed(0.0);
        let ticket = saver.begin(0.5).unwrap();
        saver.done(ticket, Err("full".into()), 0.6);
        assert_eq!(saver.state(), SaveState::NotSaved("full".into()));
        assert_eq!(saver.begin(1.0), None);
        saver.changed(1.0);
        assert!(saver.begin(1.4).is_some(), "a change does not wait for the next attempt");
        saver.done(Ticket(2), Err("full".into()), 1.5);
        let again = saver.begin(1.5 + RETRY_S).unwrap();
        assert_eq!(saver.state(), SaveState::NotSaved("full".into()));
        saver.done(again, Ok(()), 7.0);
        assert_eq!(saver.state(), SaveState::Saved);
    }

    #[test]
    fn a_save_that_never_ends_is_said_and_begun_again() {
        let mut saver = Autosave::new();
        saver.changed(0.0);
        let lost = saver.begin(1.0).unwrap();
        assert_eq!(saver.begin(5.0), None);
        let again = saver.begin(1.0 + STALLED_S).unwrap();
        assert!(matches!(saver.state(), SaveState::NotSaved(_)));
        saver.done(again, Ok(()), 12.0);
        saver.done(lost, Err("aborted".into()), 13.0);
        assert_eq!(saver.state(), SaveState::Saved);
    }
}
