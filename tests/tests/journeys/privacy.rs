//! Nothing leaves the device: every request of the page, of its worker and of the service worker, over a whole session.

use crate::common::{under_service_worker, walk_the_example};
use checks::browser::journey;

#[test]
fn every_request_of_the_example_is_a_get_to_the_page() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        walk_the_example(browser).await?;
        under_service_worker(browser).await?;
        for a in browser.asked() { println!("{a:?}"); }
        println!("{:?}", browser.listened_to());
        println!("{} requests", browser.only_gets_to(&server.url())?);
        Ok(())
    });
}
