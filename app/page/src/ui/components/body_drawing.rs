//! A drawing of a runner that shows where a landmark sits on the body, and the landmarks' names.

use document::results::landmark_name;
use mechanics::body::{Joint, Landmark};
use mechanics::space::Side;
use yew::prelude::*;

/// The name of a landmark as a person reads it, with a capital.
#[must_use]
pub fn name_of(landmark: Landmark) -> String {
    let name = landmark_name(landmark);
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// Where a landmark sits, in a few words.
#[must_use]
pub fn place_of(landmark: Landmark) -> &'static str {
    match landmark.joint() {
        Joint::Head => "the opening of the ear",
        Joint::Neck => "the bone that stands out most at the base of the neck",
        Joint::Shoulder => "the middle of the upper arm's top, about 5 cm below the shoulder's tip",
        Joint::Elbow => "the bony point on the outside of the elbow",
        Joint::Wrist => "the bony point on the little-finger side of the wrist",
        Joint::Hip => "the bony point at the side of the hip, the greater trochanter",
        Joint::Knee => "the outside of the knee, on the joint's line",
        Joint::Ankle => "the point of the outer ankle bone",
        Joint::Heel => "the back of the heel, on the shoe",
        Joint::Toe => "the outside of the ball of the foot, the base of the little toe",
    }
}

/// A joint and where it stands, near and far.
type Spot = (Joint, (f64, f64), (f64, f64));

/// Where the joints stand in the drawing (100 wide, 150 high) of a runner going to the right: near, then far.
const SPOTS: [Spot; 10] = [
    (Joint::Head, (58.0, 15.0), (58.0, 15.0)),
    (Joint::Neck, (51.0, 27.0), (51.0, 27.0)),
    (Joint::Shoulder, (51.0, 36.0), (54.0, 35.0)),
    (Joint::Elbow, (35.0, 52.0), (66.0, 50.0)),
    (Joint::Wrist, (50.0, 61.0), (80.0, 42.0)),
    (Joint::Hip, (47.0, 74.0), (50.0, 73.0)),
    (Joint::Knee, (67.0, 94.0), (44.0, 102.0)),
    (Joint::Ankle, (64.0, 126.0), (19.0, 113.0)),
    (Joint::Heel, (58.0, 132.0), (12.0, 109.0)),
    (Joint::Toe, (76.0, 136.0), (15.0, 124.0)),
];

/// Where a landmark stands in the drawing.
fn spot(landmark: Landmark) -> (f64, f64) {
    let found = SPOTS.iter().find(|(joint, ..)| *joint == landmark.joint());
    found.map_or(
        (0.0, 0.0),
        |(_, near, far)| if landmark.side() == Some(Side::Far) { *far } else { *near },
    )
}

#[derive(Properties, PartialEq)]
pub struct BodyDrawingProps {
    /// The landmark shown.
    pub landmark: Option<Landmark>,
    /// The landmarks that have a mark already.
    pub placed: Vec<Landmark>,
    /// Whether the runner goes to the left.
    pub to_the_left: bool,
}

const BODY: [Landmark; 8] = [
    Landmark::Head,
    Landmark::NearShoulder,
    Landmark::NearElbow,
    Landmark::NearWrist,
    Landmark::NearHip,
    Landmark::NearKnee,
    Landmark::NearAnkle,
    Landmark::NearToe,
];

/// The drawing.
#[component]
pub fn BodyDrawing(props: &BodyDrawingProps) -> Html {
    let turn = if props.to_the_left { "translate(100 0) scale(-1 1)" } else { "" };
    let chain = |joints: &[Landmark]| -> String {
        joints.iter().map(|l| spot(*l)).map(|(x, y)| format!("{x},{y} ")).collect()
    };
    let far = |joint| Landmark::of(joint, Side::Far);
    let [head, shoulder, elbow, wrist, hip, knee, ankle, toe] = BODY;
    html! {
        <svg class="body-drawing" viewBox="0 0 100 150" aria-hidden="true">
            <g transform={turn}>
                <path class="ground" d="M4 141H96" />
                <polyline class="limb far" points={chain(&[far(Joint::Hip), far(Joint::Knee), far(Joint::Ankle), far(Joint::Toe)])} />
                <polyline class="limb far thin" points={chain(&[far(Joint::Shoulder), far(Joint::Elbow), far(Joint::Wrist)])} />
                <polyline class="limb trunk" points={chain(&[hip, shoulder])} />
                <polyline class="limb" points={chain(&[hip, knee, ankle])} />
                <polyline class="limb foot" points={chain(&[Landmark::NearHeel, toe])} />
                <polyline class="limb thin" points={chain(&[shoulder, elbow, wrist])} />
                <ellipse class="limb skull" cx={spot(head).0.to_string()} cy={(spot(head).1 - 1.0).to_string()} rx="8" ry="10" />
                { for props.placed.iter().filter(|l| Some(**l) != props.landmark).map(|l| dot(*l, "placed", 2.2)) }
                { for props.landmark.iter().map(|l| html! { <>{ dot(*l, "halo", 7.0) }{ dot(*l, "here", 3.2) }</> }) }
            </g>
        </svg>
    }
}

fn dot(landmark: Landmark, class: &'static str, radius: f64) -> Html {
    let (x, y) = spot(landmark);
    html! { <circle class={classes!("spot", class)} cx={x.to_string()} cy={y.to_string()} r={radius.to_string()} /> }
}
