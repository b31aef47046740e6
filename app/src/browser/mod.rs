//! The only place that talks to the browser, apart from the components.
