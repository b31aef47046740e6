//! The generator of the demonstration clips.
