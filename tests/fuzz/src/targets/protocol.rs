//! Messages between page and worker.

use super::session::JSON;
use super::{Target, anywhere};
use jobs::{Answer, Question};
use serde::Serialize;
use serde::de::DeserializeOwned;

/// A request or a response.
pub const PROTOCOL: Target =
    Target { name: "protocol", seeds, fields: anywhere, dictionary: JSON, run };

fn seeds() -> Vec<Vec<u8>> {
    let texts = [
        r#"{"id":1,"clip":2,"job":"open"}"#,
        r#"{"id":1,"clip":2,"job":{"show":{"frame":7}}}"#,
        r#"{"id":1,"clip":2,"job":{"cancel":{"id":3}}}"#,
        r#"{"id":1,"clip":2,"job":{"follow":{"first":0,"last":9,"markers":[{"landmark":"near_knee","mode":"skin","keyframes":[[0,{"x_px":1.5,"y_px":2}]]}],"correction":null}}}"#,
        r#""ready""#,
        r#"{"shown":{"frame":7}}"#,
        r#"{"progress":{"done":1,"total":2,"frame":3,"latest":{}}}"#,
        r#"{"followed":{"first":0,"stretches":{},"camera":null,"repeated":[1],"cancelled":false}}"#,
        r#"{"tried_out":null}"#,
        r#"{"failed":{"reason":"a"}}"#,
    ];
    texts.iter().map(|text| text.as_bytes().to_vec()).collect()
}

fn run(bytes: &[u8]) {
    read_again::<Question>(bytes);
    read_again::<Answer>(bytes);
}

fn read_again<M: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug>(bytes: &[u8]) {
    let Ok(message) = serde_json::from_slice::<M>(bytes) else { return };
    let text = serde_json::to_string(&message).unwrap();
    let again: M = serde_json::from_str(&text).unwrap();
    assert_eq!(again, message, "a message differs once it is written and read");
}
