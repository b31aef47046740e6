//! The checks of the whole project; see the files in `tests/`.
