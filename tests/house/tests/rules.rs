//! The house rules, run over the project's own tree.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

use checks::house::source::Tree;
use checks::house::{Violation, commands, files, imports, names, privacy, quantities, sizes};

/// Fails with every place that breaks the rule, one a line.
fn holds(rule: impl Fn(&Tree) -> Vec<Violation>) {
    let tree = Tree::of_the_project().expect("the tree can be read");
    assert!(tree.files.len() > 40, "the tree was not found");
    let found = rule(&tree);
    let lines: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{} places:\n{}", found.len(), lines.join("\n"));
}

#[test]
fn crates_know_only_whom_they_may() {
    holds(imports::between_crates);
}

#[test]
fn mechanics_imports_downwards() {
    holds(|t| imports::upward(t, "mechanics", imports::MECHANICS));
}

#[test]
fn tracking_imports_downwards() {
    holds(|t| imports::upward(t, "tracking", imports::TRACKING));
}

#[test]
fn the_app_imports_downwards() {
    holds(|t| imports::upward(t, "app", imports::APP));
}

#[test]
fn the_browser_is_named_in_browser_and_ui_only() {
    holds(names::browser_elsewhere);
}

#[test]
fn only_the_analysis_turns_pixels_into_metres() {
    holds(names::metres_elsewhere);
}

#[test]
fn nothing_outside_of_tests_can_end_the_program() {
    holds(names::falls);
}

#[test]
fn the_app_sends_nothing() {
    holds(privacy::sends_in_app);
}

#[test]
fn the_shell_sends_nothing() {
    holds(privacy::sends_in_shell);
}

#[test]
fn no_style_stands_in_an_element() {
    holds(privacy::inline_styles);
}

#[test]
fn every_number_says_its_unit() {
    holds(quantities::fields_without_unit);
}

#[test]
fn degrees_stand_in_one_file() {
    holds(quantities::degrees_elsewhere);
}

#[test]
fn files_are_short() {
    holds(sizes::long_files);
}

#[test]
fn functions_are_short() {
    holds(sizes::long_functions);
}

#[test]
fn folders_are_small() {
    holds(sizes::full_folders);
}

#[test]
fn every_file_says_what_it_is() {
    holds(sizes::headless_files);
}

#[test]
fn no_kept_file_is_over_two_mebibytes() {
    holds(sizes::big_files);
}

#[test]
fn the_top_level_is_as_agreed() {
    holds(files::top_level);
}

#[test]
fn every_fixture_has_a_source() {
    holds(files::fixtures);
}

#[test]
fn nothing_but_tests_leans_on_the_folder_beside_the_project() {
    holds(files::leans_on_what_is_not_kept);
}

#[test]
fn the_readme_names_every_command() {
    holds(commands::readme);
}
