//! The loupe: the picture under the pointer, magnified six times, in the opposite corner.

use super::canvas::copy_magnified;
use mechanics::space::Pixel;
use yew::prelude::*;

/// Side of the loupe's canvas, in its own pixels.
pub const LOUPE_SIDE: u32 = 240;

#[derive(Properties, PartialEq)]
pub struct LoupeProps {
    /// The canvas of the stage.
    pub canvas: NodeRef,
    /// The position to magnify.
    pub at: Pixel,
    /// The frame on the canvas; the loupe is drawn again when it changes.
    pub frame: Option<u32>,
    /// Whether the loupe is in the left corner.
    pub is_left: bool,
}

/// The loupe.
#[component]
pub fn Loupe(props: &LoupeProps) -> Html {
    let target = use_node_ref();
    {
        let (target, stage) = (target.clone(), props.canvas.clone());
        use_effect_with((props.at, props.frame), move |(at, _)| {
            copy_magnified(&stage, &target, *at)
        });
    }
    html! {
        <div class={classes!("loupe", props.is_left.then_some("at-left"))} aria-hidden="true">
            <canvas ref={target} width={LOUPE_SIDE.to_string()} height={LOUPE_SIDE.to_string()}></canvas>
            <svg viewBox="-50 -50 100 100">
                <path class="loupe-cross" d="M-50 0H-6M6 0H50M0 -50V-6M0 6V50" />
            </svg>
        </div>
    }
}
