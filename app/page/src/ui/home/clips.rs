//! How clips come in: as new ways of running, again after a reload, or kept on the device.

use super::FileButton;
use crate::browser::opfs;
use crate::ui::actions::{Hands, use_hands};
use crate::ui::store::Step;
use document::session::{ClipMatch, ClipRef, Command, Trial, TrialCommand, TrialId, match_clip};
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use web_sys::File;
use yew::prelude::*;

/// Opens each file as another way of running, one after another, and goes to the step *Clip*.
pub fn open_as_new_trials(hands: &Hands, files: Vec<File>) {
    let hands = hands.clone();
    spawn_local(async move {
        let mut id = hands.conductor.session().next_trial_id();
        for file in files {
            match hands.conductor.open(id, file).await {
                Ok(clip) => {
                    let name = name_from(&clip);
                    hands.carry_out(Command::AddTrial { id, name, clip });
                    hands.go(Step::Clip);
                    id = TrialId(id.0 + 1);
                }
                Err(reason) => hands.complain(reason),
            }
        }
    });
}

/// A first name for a way of running: the file's name without its ending.
fn name_from(clip: &ClipRef) -> String {
    let stem = clip.name.rsplit_once('.').map_or(clip.name.as_str(), |(stem, _)| stem);
    stem.chars().take(60).collect()
}

/// Opens a file as the clip of a trial that has one already; another clip is refused with a sentence.
async fn open_again(hands: &Hands, trial: &Trial, file: File) -> Result<(), String> {
    let clip = hands.conductor.open(trial.id, file).await?;
    match match_clip(&trial.clip, &clip) {
        ClipMatch::Same => Ok(()),
        ClipMatch::Renamed => {
            hands.change(trial.id, TrialCommand::KnowClipAs(clip.name));
            Ok(())
        }
        ClipMatch::Different(sentence) => {
            hands.conductor.close(trial.id);
            Err(sentence)
        }
    }
}

/// Opens the clips of a session that are kept on this device.
pub async fn open_kept(hands: &Hands, trials: &[Rc<Trial>]) {
    for trial in trials {
        if let Some(file) = opfs::kept_clip(&trial.clip.fingerprint, &trial.clip.name).await
            && let Err(reason) = open_again(hands, trial, file).await
        {
            hands.complain(reason);
        }
    }
}

#[derive(Properties, PartialEq)]
pub struct AskForClipProps {
    /// Whose clip.
    pub trial: Rc<Trial>,
    /// Whether a file is being opened.
    pub opening: bool,
}

/// In the place of the picture: the clip is asked for by its name.
#[component]
pub fn AskForClip(props: &AskForClipProps) -> Html {
    let hands = use_hands();
    let trial = Rc::clone(&props.trial);
    let on_files = Callback::from(move |files: Vec<File>| {
        let (hands, trial) = (hands.clone(), Rc::clone(&trial));
        spawn_local(async move {
            for file in files.into_iter().take(1) {
                if let Err(reason) = open_again(&hands, &trial, file).await {
                    hands.complain(reason);
                }
            }
        });
    });
    if props.opening {
        return html! { <div class="ask-for-clip"><p role="status">{ "The clip is being opened." }</p></div> };
    }
    html! {
        <div class="ask-for-clip">
            <p>{ format!("The clip “{}” is not open. Everything entered is here; to see the picture, choose the file again.", props.trial.clip.name) }</p>
            <FileButton label={format!("Open {} again", props.trial.clip.name)} accept="video/*,.mp4,.mov,.webm,.m4v" {on_files} first=true />
        </div>
    }
}

#[derive(Properties, PartialEq)]
pub struct KeepOnDeviceProps {
    /// Whose clip.
    pub trial: Rc<Trial>,
    /// Whether the page has the file.
    pub in_hand: bool,
}

/// Whether a copy of the clip is kept by the browser, so that it need not be asked for again.
#[component]
pub fn KeepOnDevice(props: &KeepOnDeviceProps) -> Html {
    let hands = use_hands();
    let kept = use_state_eq(|| None::<bool>);
    {
        let (kept, fingerprint, name) =
            (kept.clone(), props.trial.clip.fingerprint.clone(), props.trial.clip.name.clone());
        use_effect_with((fingerprint, name), move |(fingerprint, name)| {
            let (fingerprint, name) = (fingerprint.clone(), name.clone());
            spawn_local(async move {
                if opfs::available().await {
                    kept.set(Some(opfs::kept_clip(&fingerprint, &name).await.is_some()));
                }
            });
        });
    }
    let Some(is_kept) = *kept else { return Html::default() };
    let change = {
        let (hands, trial, kept) = (hands.clone(), Rc::clone(&props.trial), kept.clone());
        Callback::from(move |_: Event| {
            let (hands, trial, kept) = (hands.clone(), Rc::clone(&trial), kept.clone());
            spawn_local(async move {
                let result = match hands.conductor.file(trial.id) {
                    Some(file) if !is_kept => opfs::keep_clip(&trial.clip.fingerprint, &file).await,
                    _ => opfs::forget_clip(&trial.clip.fingerprint).await,
                };
                match result {
                    Ok(()) => kept.set(Some(!is_kept)),
                    Err(reason) => hands.complain(reason.to_string()),
                }
            });
        })
    };
    html! {
        <label class="answer">
            <input type="checkbox" checked={is_kept} disabled={!props.in_hand && !is_kept} onchange={change} />
            <span><b>{ "Keep a copy on this device" }</b><span class="quiet">{ "else the file is asked for again next time; it never leaves this device either way" }</span></span>
        </label>
    }
}
