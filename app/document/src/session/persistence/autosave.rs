//! When to save: soon after each change, at once when the page is hidden, never twice at a time.

/// From a change to the start of its save. Chosen: a drag's burst of changes is one save, and most of the second
/// within which a change must be saved is left for the save itself.
const WAIT_S: f64 = 0.3;
/// From a failed save to the next attempt, unless something changes before. Chosen: a person who frees space sees it
/// take effect.
const RETRY_S: f64 = 5.0;
/// A save that takes longer is abandoned and started again. Chosen: a slow device has long finished by then.
const STALLED_S: f64 = 10.0;

/// The state of saving, to be shown.
#[derive(Clone, Debug, PartialEq)]
pub enum SaveState<E> {
    /// Everything is on the device.
    Saved,
    /// A change is being saved.
    Saving,
    /// The last attempt failed; another follows automatically.
    NotSaved(SaveFailure<E>),
}

/// Why a save failed.
#[derive(Clone, Debug, PartialEq)]
pub enum SaveFailure<E> {
    /// The storage did not answer in time.
    NoAnswer,
    /// The storage refused.
    Refused(E),
}

/// Identifies one save, so that its end is matched with its start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ticket(u64);

/// Decides when to save. Times are seconds on any monotonic clock; `E` is the error of the storage.
///
/// The owner calls [`Autosave::changed`] at each change, [`Autosave::due_in_s`] to learn when to call
/// [`Autosave::begin`], saves the present session with the ticket that this returns, and reports the outcome to
/// [`Autosave::done`].
#[derive(Clone, Debug)]
pub struct Autosave<E> {
    /// Changes so far.
    changes: u64,
    /// Changes that are on the device.
    saved: u64,
    /// When the next save is due, if anything is unsaved.
    due_s: Option<f64>,
    /// The save under way.
    running: Option<Running>,
    /// Why the last save failed.
    failure: Option<SaveFailure<E>>,
}

/// A save under way.
#[derive(Clone, Copy, Debug)]
struct Running {
    ticket: Ticket,
    began_s: f64,
}

impl<E> Default for Autosave<E> {
    fn default() -> Self {
        Self { changes: 0, saved: 0, due_s: None, running: None, failure: None }
    }
}

impl<E: Clone> Autosave<E> {
    /// Nothing has changed yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The session changed.
    pub fn changed(&mut self, now_s: f64) {
        self.changes += 1;
        self.schedule(now_s + WAIT_S);
    }

    /// The page is hidden and may not return: unsaved changes are due now, even while an older save is under way.
    pub fn hiding(&mut self, now_s: f64) {
        if self.saved < self.changes {
            self.schedule(now_s);
        }
        if self.running.is_some_and(|r| r.ticket.0 < self.changes) {
            self.running = None;
        }
    }

    /// Seconds until [`Autosave::begin`] should be called; none if there is nothing to save.
    #[must_use]
    pub fn due_in_s(&self, now_s: f64) -> Option<f64> {
        let due_s = match self.running {
            Some(running) => Some(running.began_s + STALLED_S),
            None => self.due_s,
        };
        due_s.map(|due_s| (due_s - now_s).max(0.0))
    }

    /// Begins a save if one is due: the caller now saves the present session.
    pub fn begin(&mut self, now_s: f64) -> Option<Ticket> {
        if self.due_in_s(now_s)? > 0.0 {
            return None;
        }
        if self.running.is_some() {
            self.failure = Some(SaveFailure::NoAnswer);
        }
        let ticket = Ticket(self.changes);
        self.running = Some(Running { ticket, began_s: now_s });
        self.due_s = None;
        Some(ticket)
    }

    /// A save ended.
    pub fn done(&mut self, ticket: Ticket, outcome: Result<(), E>, now_s: f64) {
        let awaited = self.running.is_some_and(|r| r.ticket == ticket);
        if awaited {
            self.running = None;
        }
        match outcome {
            Ok(()) => {
                self.saved = self.saved.max(ticket.0);
                self.failure = None;
            }
            Err(reason) if awaited => {
                self.failure = Some(SaveFailure::Refused(reason));
                self.schedule(now_s + RETRY_S);
            }
            Err(_) => {}
        }
        if self.saved == self.changes {
            self.due_s = None;
        }
    }

    /// The state to show.
    #[must_use]
    pub fn state(&self) -> SaveState<E> {
        match &self.failure {
            _ if self.saved == self.changes => SaveState::Saved,
            Some(reason) => SaveState::NotSaved(reason.clone()),
            None => SaveState::Saving,
        }
    }

    fn schedule(&mut self, due_s: f64) {
        self.due_s = Some(self.due_s.map_or(due_s, |already_s| already_s.min(due_s)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Runs a list of changes against saves that take `save_s`, on a clock of 10 ms ticks. Returns how long after each
    /// change a save that contains it was complete.
    fn delays_s(changes_s: &[f64], save_s: f64) -> Vec<f64> {
        let (mut saver, mut under_way) = (Autosave::<()>::new(), Vec::<(Ticket, f64)>::new());
        let mut complete_s = vec![f64::INFINITY; changes_s.len()];
        for tick in 0..2000 {
            let now_s = f64::from(tick) * 0.01;
            let new = changes_s.iter().filter(|c| (**c - now_s).abs() < 0.005).count();
            (0..new).for_each(|_| saver.changed(now_s));
            for (ticket, _) in under_way.extract_if(.., |(_, began_s)| now_s - *began_s >= save_s) {
                saver.done(ticket, Ok(()), now_s);
                for (complete, change_s) in
                    complete_s.iter_mut().zip(changes_s).take(ticket.0 as usize)
                {
                    *complete = complete.min(now_s - change_s);
                }
            }
            if let Some(ticket) = saver.begin(now_s) {
                under_way.push((ticket, now_s));
            }
        }
        assert_eq!(saver.state(), SaveState::Saved);
        complete_s
    }

    #[test]
    fn a_change_is_saved_within_a_second() {
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
        let mut saver = Autosave::<&str>::new();
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
        let mut saver = Autosave::<&str>::new();
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
        let mut saver = Autosave::<&str>::new();
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
        let mut saver = Autosave::<&str>::new();
        saver.changed(0.0);
        let ticket = saver.begin(0.5).unwrap();
        saver.done(ticket, Err("full"), 0.6);
        assert_eq!(saver.state(), SaveState::NotSaved(SaveFailure::Refused("full")));
        assert_eq!(saver.begin(1.0), None);
        saver.changed(1.0);
        assert!(saver.begin(1.4).is_some(), "a change does not wait for the next attempt");
        saver.done(Ticket(2), Err("full"), 1.5);
        let again = saver.begin(1.5 + RETRY_S).unwrap();
        assert_eq!(saver.state(), SaveState::NotSaved(SaveFailure::Refused("full")));
        saver.done(again, Ok(()), 7.0);
        assert_eq!(saver.state(), SaveState::Saved);
    }

    #[test]
    fn a_save_that_never_ends_is_shown_and_started_again() {
        let mut saver = Autosave::<&str>::new();
        saver.changed(0.0);
        let lost = saver.begin(1.0).unwrap();
        assert_eq!(saver.begin(5.0), None);
        let again = saver.begin(1.0 + STALLED_S).unwrap();
        assert_eq!(saver.state(), SaveState::NotSaved(SaveFailure::NoAnswer));
        saver.done(again, Ok(()), 12.0);
        saver.done(lost, Err("aborted"), 13.0);
        assert_eq!(saver.state(), SaveState::Saved);
    }
}
