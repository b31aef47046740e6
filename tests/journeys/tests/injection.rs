//! Names and notes from files are shown as text and never run.

use document::session::{
    ClipInfo, ClipRef, Command, Conditions, Runner, Session, TrialCommand, TrialId, apply, file,
};
use journeys::browser::{Browser, Result, Setup, beside_others, run_journey, site_folder};
use journeys::clips::ClipFolder;
use journeys::injections::INJECTIONS;
use mechanics::body::Table;
use site::serve::Server;
use std::rc::Rc;

/// A session with injections in every text: fifty trials, each named by one of the list.
fn named(name: &str) -> Session {
    let runner = Runner {
        label: name.into(),
        mass_kg: Some(60.0),
        height_m: None,
        table: Table::WinterDempster,
    };
    let commands = [
        Command::NameSession(name.into()),
        Command::SetRunner(runner),
        Command::SetNotes(name.into()),
    ];
    let start = Session::empty("0123456789abcdef".into());
    let mut session = commands.iter().fold(start, |s, c| apply(&s, c).unwrap());
    for (id, words) in (1..).zip(INJECTIONS) {
        let id = TrialId(id);
        let info = ClipInfo {
            width_px: 640,
            height_px: 360,
            codec: words.into(),
            rotation_quarter_turns: 0,
            stamps_s: vec![0.0, 0.01, 0.02],
            filmed_rate_hz: None,
        };
        let clip = ClipRef {
            name: words.into(),
            size_bytes: 9,
            fingerprint: words.into(),
            info: Rc::new(info),
        };
        let conditions =
            Conditions { speed_m_s: None, on_belt: true, cue: words.into(), shoes: words.into() };
        let add = Command::AddTrial { id, name: words.into(), clip };
        session = apply(&session, &add).unwrap();
        session = apply(&session, &Command::ForTrial(id, TrialCommand::SetConditions(conditions)))
            .unwrap();
    }
    session
}

fn fifty_names_are_read_back_letter_by_letter_and_make_plain_file_names() {
    assert_eq!(INJECTIONS.len(), 50);
    for name in INJECTIONS {
        let session = named(name);
        let read = file::read("a.stride.json", &file::write(&session)).unwrap().session;
        assert_eq!(read, session);
        assert!(file::file_name(&session).chars().all(|c| c.is_alphanumeric() || "-.".contains(c)));
    }
}

/// True if a name was taken for more than text.
const RAN: &str = "window.ran !== undefined || document.querySelector(
    '#app script, #app iframe, #app object, #app embed, #app base, #app meta, #app link, #app style, #app img, #app marquee, #app math, #app form, #app [onerror], #app [onload], #app [onfocus]'
) !== null || location.protocol === 'data:'";

async fn nothing_ran(browser: &Browser, place: &str) -> Result<()> {
    let ran = browser.script(&format!("return Boolean({RAN});")).await?;
    if ran.as_bool() == Some(false) {
        Ok(())
    } else {
        Err(format!("a name ran as code in {place}").into())
    }
}

async fn walk(browser: &Browser, server: &Server, scratch: &ClipFolder) -> Result<()> {
    for (index, name) in INJECTIONS.iter().enumerate().step_by(7) {
        browser.open(&server.url()).await?;
        let path = scratch.path().join(format!("a{index}.stride.json"));
        let session = Session { id: format!("{index:016x}"), ..named(name) };
        std::fs::write(&path, file::write(&session))?;
        browser.choose_file("Open a session file", &path).await?;
        browser
            .until("document.querySelectorAll('.trial-choice button').length === 50", 10)
            .await?;
        nothing_ran(browser, "the step Clip").await?;
        for step in ["Scale", "Markers", "Strides", "Ledger", "Side by side"] {
            browser.step(step).await?;
            nothing_ran(browser, step).await?;
        }
        browser.press("Stride Ledger, first page").await?;
        browser.until("document.querySelector('.recent li') !== null", 10).await?;
        nothing_ran(browser, "the first page").await?;
    }
    every_name_is_shown(browser).await?;
    files_of_such_names(browser, scratch).await
}

/// The session that was opened last shows each name letter by letter.
async fn every_name_is_shown(browser: &Browser) -> Result<()> {
    browser.wait(".recent li button.line", 5).await?.click().await?;
    browser.until("document.querySelectorAll('.trial-choice button').length === 50", 10).await?;
    for (index, name) in INJECTIONS.iter().enumerate() {
        let shown = browser
            .client
            .execute(
                "const button = document.querySelectorAll('.trial-choice button')[arguments[0]];
                 button.click();
                 return button.textContent;",
                vec![index.into()],
            )
            .await?;
        // A parser of HTML would replace a zero byte; a text node keeps it.
        if shown.as_str() != Some(name) {
            return Err(format!("{name:?} is shown as {shown}").into());
        }
        nothing_ran(browser, name).await?;
    }
    Ok(())
}

/// Files with names of the list, each refused with a sentence that names it.
async fn files_of_such_names(browser: &Browser, scratch: &ClipFolder) -> Result<()> {
    let names = INJECTIONS.iter().filter(|n| !n.contains(['/', '\0', '"', '\'', '\u{2028}']));
    for name in names.take(12) {
        let path = scratch.path().join(format!("{name}.mp4"));
        std::fs::write(&path, "no clip at all, but more than twelve bytes")?;
        browser.choose_file("Open another clip", &path).await?;
        let said = format!(
            "document.querySelector('.notice.problem')?.textContent.includes('{name}.mp4')"
        );
        browser.until(&said, 10).await?;
        nothing_ran(browser, name).await?;
        browser.press("Close this notice").await?;
    }
    Ok(())
}

fn no_name_or_note_from_a_file_is_ever_more_than_text() {
    let Some(folder) = site_folder() else { return };
    let _room = beside_others();
    let scratch = ClipFolder::new().unwrap();
    // The page is right to show a problem with each file.
    let setup = Setup { listened: true, ..Setup::BREAKING };
    run_journey(&folder, setup, async |browser, server| walk(browser, &server, &scratch).await);
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["injection": fifty_names_are_read_back_letter_by_letter_and_make_plain_file_names, no_name_or_note_from_a_file_is_ever_more_than_text]
}
