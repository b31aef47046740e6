//! A drawing of a runner that shows a landmark's position on the body.

use mechanics::body::{Joint, Landmark};
use mechanics::space::Side;
use yew::prelude::*;

/// A point of the drawing.
#[derive(Clone, Copy)]
struct DrawingPoint {
    x: f64,
    y: f64,
}

/// A joint and its position on both sides of the body.
struct JointPosition {
    joint: Joint,
    near: DrawingPoint,
    far: DrawingPoint,
}

const fn at(joint: Joint, near: [f64; 2], far: [f64; 2]) -> JointPosition {
    let ([near_x, near_y], [far_x, far_y]) = (near, far);
    JointPosition {
        joint,
        near: DrawingPoint { x: near_x, y: near_y },
        far: DrawingPoint { x: far_x, y: far_y },
    }
}

/// The joints of a runner who faces right, near side and far side, in a drawing 100 wide and 150 high.
const JOINTS: [JointPosition; 10] = [
    at(Joint::Head, [58.0, 15.0], [58.0, 15.0]),
    at(Joint::Neck, [51.0, 27.0], [51.0, 27.0]),
    at(Joint::Shoulder, [51.0, 36.0], [54.0, 35.0]),
    at(Joint::Elbow, [35.0, 52.0], [66.0, 50.0]),
    at(Joint::Wrist, [50.0, 61.0], [80.0, 42.0]),
    at(Joint::Hip, [47.0, 74.0], [50.0, 73.0]),
    at(Joint::Knee, [67.0, 94.0], [44.0, 102.0]),
    at(Joint::Ankle, [64.0, 126.0], [19.0, 113.0]),
    at(Joint::Heel, [58.0, 132.0], [12.0, 109.0]),
    at(Joint::Toe, [76.0, 136.0], [15.0, 124.0]),
];

/// The position of a landmark in the drawing.
fn position(landmark: Landmark) -> DrawingPoint {
    let found = JOINTS.iter().find(|j| j.joint == landmark.joint());
    found.map_or(DrawingPoint { x: 0.0, y: 0.0 }, |j| {
        if landmark.side() == Some(Side::Far) { j.far } else { j.near }
    })
}

#[derive(Properties, PartialEq)]
pub struct BodyDrawingProps {
    /// The landmark to show.
    pub landmark: Option<Landmark>,
    /// The landmarks that have a mark.
    pub placed: Vec<Landmark>,
    /// Whether the runner faces left.
    pub faces_left: bool,
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
    let flip = if props.faces_left { "translate(100 0) scale(-1 1)" } else { "" };
    let chain = |joints: &[Landmark]| -> String {
        joints.iter().map(|l| position(*l)).map(|p| format!("{},{} ", p.x, p.y)).collect()
    };
    let far = |joint| Landmark::of(joint, Side::Far);
    let [head, shoulder, elbow, wrist, hip, knee, ankle, toe] = BODY;
    let head = position(head);
    html! {
        <svg class="body-drawing" viewBox="0 0 100 150" aria-hidden="true">
            <g transform={flip}>
                <path class="ground" d="M4 141H96" />
                <polyline class="limb far" points={chain(&[far(Joint::Hip), far(Joint::Knee), far(Joint::Ankle), far(Joint::Toe)])} />
                <polyline class="limb far thin" points={chain(&[far(Joint::Shoulder), far(Joint::Elbow), far(Joint::Wrist)])} />
                <polyline class="limb trunk" points={chain(&[hip, shoulder])} />
                <polyline class="limb" points={chain(&[hip, knee, ankle])} />
                <polyline class="limb foot" points={chain(&[Landmark::NearHeel, toe])} />
                <polyline class="limb thin" points={chain(&[shoulder, elbow, wrist])} />
                <ellipse class="limb skull" cx={head.x.to_string()} cy={(head.y - 1.0).to_string()} rx="8" ry="10" />
                { for props.placed.iter().filter(|l| Some(**l) != props.landmark).map(|l| dot(*l, "placed", 2.2)) }
                { for props.landmark.iter().map(|l| html! { <>{ dot(*l, "halo", 7.0) }{ dot(*l, "current", 3.2) }</> }) }
            </g>
        </svg>
    }
}

fn dot(landmark: Landmark, class: &'static str, radius: f64) -> Html {
    let DrawingPoint { x, y } = position(landmark);
    html! { <circle class={classes!("spot", class)} cx={x.to_string()} cy={y.to_string()} r={radius.to_string()} /> }
}
