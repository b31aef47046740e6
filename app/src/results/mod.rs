//! The document turned into what is shown. Pure.
