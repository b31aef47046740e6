//! Messages between page and worker.

use super::session::JSON;
use crate::target::{Target, anywhere};
use document::session::TrialId;
use jobs::TrackingPlan;
use jobs::protocol::{
    Attachment, Envelope, JobError, JobId, Message, Progress, Request, Response, decode, encode,
};
use std::collections::BTreeMap;
use std::fmt::Debug;

/// A request or a response.
pub const PROTOCOL: Target =
    Target { name: "protocol", seeds, fields: anywhere, dictionary: JSON, run };

fn seeds() -> Vec<Vec<u8>> {
    let plan = TrackingPlan { first: 0, last: 9, markers: Vec::new(), correction: None };
    let progress = Progress { done: 1, total: 2, frame: 3, latest: BTreeMap::new() };
    let requests = [
        Request::Open,
        Request::ShowFrame { frame: 7 },
        Request::Cancel { id: JobId(3) },
        Request::Track(plan.clone()),
        Request::Preview(plan),
    ];
    let responses = [
        Response::Ready,
        Response::Frame { frame: 7 },
        Response::Progress(progress),
        Response::Previewed(None),
        Response::Failed(JobError::ClipNotOpen),
        Response::Panicked { message: "a".to_owned() },
    ];
    let requests = requests.into_iter().map(|body| text(&envelope(body)));
    requests.chain(responses.into_iter().map(|body| text(&envelope(body)))).collect()
}

fn envelope<B>(body: B) -> Envelope<B> {
    Envelope { id: JobId(1), clip: Some(TrialId(2)), body, attachment: Some(Attachment::File) }
}

fn text<M: Message>(message: &M) -> Vec<u8> {
    encode(message).unwrap().into_bytes()
}

fn run(bytes: &[u8]) {
    let text = std::str::from_utf8(bytes).ok();
    read_again::<Envelope<Request>>(text);
    read_again::<Envelope<Response>>(text);
}

fn read_again<M: Message + PartialEq + Debug>(text: Option<&str>) {
    let Ok(message) = decode::<M>(text) else { return };
    let again: M = decode(Some(&encode(&message).unwrap())).unwrap();
    assert_eq!(again, message, "a message differs once it is written and read");
}
