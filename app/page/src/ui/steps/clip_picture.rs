//! The picture of a step.

use super::props::StepProps;
use crate::ui::home::AskForClip;
use crate::ui::stage::{Stage, Transport};
use std::rc::Rc;
use yew::prelude::*;

/// The label of a picture that is only looked at.
const PLAIN_LABEL: &str = "Picture of the clip";

/// The picture with its time line; `strip` is drawn along it.
pub fn plain_picture(props: &StepProps, strip: Option<Html>) -> Html {
    let (trial, frame) = (&props.trial, props.view.frame);
    html! {
        <>
            <Stage trial={Rc::clone(trial)} {frame} label={PLAIN_LABEL} />
            <Transport trial={Rc::clone(trial)} {frame} {strip} />
        </>
    }
}

/// Asks for the clip, in place of the picture.
pub fn ask_for_clip(props: &StepProps) -> Html {
    html! { <AskForClip trial={Rc::clone(&props.trial)} is_opening={props.is_opening()} /> }
}
