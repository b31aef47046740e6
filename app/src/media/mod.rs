//! Bytes of a clip turned into samples to decode. Pure.
