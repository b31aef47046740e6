//! Random sessions and commands from a seed, with every field varied.

#![allow(dead_code, reason = "each test file uses a part")]

use document::session::{
    Certainty, ClipCalibration, ClipInfo, ClipRef, Command, Conditions, CutoffChoice, MarkerMode,
    Options, Runner, Scale, Session, TrackSample, TrialCommand, TrialId, Vertical, VerticalKind,
    apply,
};
use mechanics::body::{Landmark, MarkerSet, Table};
use mechanics::gait::{EventEdit, EventKind};
use mechanics::space::{Direction, Pixel, Side};
use rand_xoshiro::SplitMix64;
use rand_xoshiro::rand_core::{Rng, SeedableRng};
use std::rc::Rc;

/// Random numbers from a seed: the same on every machine.
pub struct Dice(SplitMix64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        // Seeds far apart: the generator itself steps by this constant.
        let state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).wrapping_add(1);
        Self(SplitMix64::from_seed(state.to_le_bytes()))
    }

    pub fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }

    pub fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.bits() % n.max(1) as u64).unwrap()
    }

    pub fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }

    /// Any number that a session may contain, with every bit random.
    pub fn number(&mut self) -> f64 {
        loop {
            let value = f64::from_bits(self.bits());
            if value.is_finite() && value.abs() <= 1e9 {
                return value;
            }
        }
    }

    fn maybe(&mut self) -> Option<f64> {
        (self.below(3) > 0).then(|| self.number())
    }

    pub fn pixel(&mut self) -> Pixel {
        let mut side = || (self.bits() % 2_000_000) as f64 / 1013.0 - 300.0;
        Pixel { x_px: side(), y_px: side() }
    }

    pub fn text(&mut self) -> String {
        let odd = [
            "",
            "easy",
            "“low” heels",
            "a\\b\"c\n\t\u{1}",
            "</script>",
            "=1+1",
            "走る 🏃",
            "\u{202e}x",
        ];
        format!("{}{}", self.one_of(&odd), self.below(100))
    }

    pub fn clip(&mut self) -> ClipRef {
        let frames = 1 + self.below(40);
        let start = self.below(5) as f64 / 7.0;
        let info = ClipInfo {
            width_px: self.one_of(&[640, 1280]),
            height_px: 720,
            codec: self.text(),
            rotation_quarter_turns: self.one_of(&[0, 1, 2, 3]),
            stamps_s: (0..frames).map(|i| start + i as f64 / 119.88).collect(),
            filmed_rate_hz: self.maybe(),
        };
        let size_bytes = self.bits();
        ClipRef { name: self.text(), size_bytes, fingerprint: self.text(), info: Rc::new(info) }
    }

    fn sample(&mut self) -> Option<TrackSample> {
        let p_wrong = self.below(1001) as f64 / 1000.0;
        let sure = self.one_of(&[Certainty::Seen, Certainty::Doubtful, Certainty::Coasting]);
        (self.below(5) > 0).then(|| TrackSample::new(self.pixel(), sure, p_wrong))
    }

    fn calibration(&mut self) -> ClipCalibration {
        let frame = u32::try_from(self.below(42)).unwrap();
        let scale = Scale { from: self.pixel(), to: self.pixel(), length_m: self.number(), frame };
        let kind = self.one_of(&[VerticalKind::Plumb, VerticalKind::Ground]);
        let vertical = Vertical { kind, from: self.pixel(), to: self.pixel(), frame };
        ClipCalibration {
            scale: self.one_of(&[Some(scale), None]),
            vertical: self.one_of(&[Some(vertical), None]),
            direction: self.one_of(&[Some(Direction::Left), Some(Direction::Right), None]),
            filmed_rate_hz: self.maybe(),
        }
    }

    fn event_edit(&mut self) -> EventEdit {
        let side = self.one_of(&[Side::Near, Side::Far]);
        let kind = self.one_of(&[EventKind::Contact, EventKind::ToeOff]);
        match self.below(3) {
            0 => EventEdit::Move { side, kind, from_s: self.number(), to_s: self.number() },
            1 => EventEdit::Add { side, kind, at_s: self.number() },
            _ => EventEdit::Remove { side, kind, at_s: self.number() },
        }
    }

    /// A command for a trial of at most 40 frames; sometimes one that is refused.
    pub fn trial_command(&mut self) -> TrialCommand {
        let landmark = self.one_of(&Landmark::ALL[..5]);
        let frame = u32::try_from(self.below(42)).unwrap();
        let mode = self.one_of(&[MarkerMode::Sticker, MarkerMode::Skin]);
        match self.below(14) {
            0 => TrialCommand::Rename(self.text()),
            1 => TrialCommand::Calibrate(self.calibration()),
            2 => TrialCommand::SetConditions(Conditions {
                speed_m_s: self.maybe(),
                on_belt: self.below(2) == 0,
                cue: self.text(),
                shoes: self.text(),
            }),
            3 => TrialCommand::ChooseMarkers(self.one_of(&[
                MarkerSet::Legs,
                MarkerSet::NearSide,
                MarkerSet::BothSides,
            ])),
            4..=7 => TrialCommand::PlaceMark { landmark, frame, at: self.pixel(), mode },
            8 => TrialCommand::ForgetMark { landmark, frame },
            9 => TrialCommand::ForgetLandmark(landmark),
            10 => TrialCommand::SetMode(landmark, mode),
            11 => {
                let stretch = (0..self.below(40)).map(|_| self.sample()).collect();
                let stretches = [(landmark, stretch)].into();
                TrialCommand::KeepFollowed { first: frame, stretches, camera: None, repeated: None }
            }
            12 => TrialCommand::EditEvent(self.event_edit()),
            _ => TrialCommand::ForgetEventEdits,
        }
    }

    /// A command; sometimes one that is refused.
    pub fn command(&mut self) -> Command {
        let id = TrialId(u32::try_from(self.below(4)).unwrap());
        match self.below(20) {
            0 => Command::NameSession(self.text()),
            1 => Command::SetRunner(Runner {
                label: self.text(),
                mass_kg: self.maybe(),
                height_m: self.maybe(),
                table: self.one_of(&[Table::WinterDempster, Table::DeLevaMale]),
            }),
            2 => {
                let fixed = CutoffChoice::Fixed { cutoff_hz: self.number() };
                Command::SetOptions(Options {
                    cutoff: self.one_of(&[fixed, CutoffChoice::Automatic]),
                })
            }
            3 => Command::SetNotes(self.text()),
            4..=6 => Command::AddTrial { id, name: self.text(), clip: self.clip() },
            7 => Command::RemoveTrial(id),
            _ => Command::ForTrial(id, self.trial_command()),
        }
    }
}

/// A session after this number of random commands.
pub fn session(seed: u64, commands: usize) -> Session {
    let mut dice = Dice::new(seed);
    let clip = dice.clip();
    let first = Command::AddTrial { id: TrialId(1), name: "first".into(), clip };
    let start = apply(&Session::empty(format!("s-{seed}")), &first).unwrap();
    (0..commands).fold(start, |session, _| apply(&session, &dice.command()).unwrap_or(session))
}
