//! The house rules, over the project's own sources and manifests.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

use house::modules::Code;
use house::source::{Tree, project_root};
use house::workspace::Workspace;
use house::{
    Violation, circles, commands, dependencies, files, layers, panics, pixels, privacy, quantities,
    signatures, sizes, unused, vocabulary,
};
use std::sync::LazyLock;

/// Fails with every place that breaks a rule, one per line.
fn none(found: &[Violation]) {
    let lines: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{} places:\n{}", found.len(), lines.join("\n"));
}

fn sources(rule: impl Fn(&Tree) -> Vec<Violation>) {
    none(&rule(tree()));
}

fn tree() -> &'static Tree {
    static TREE: LazyLock<Tree> =
        LazyLock::new(|| Tree::of_the_project().expect("the tree can be read"));
    assert!(TREE.files.len() > 40, "the tree was not found");
    &TREE
}

fn workspace() -> &'static Workspace {
    static WORKSPACE: LazyLock<Workspace> =
        LazyLock::new(|| Workspace::read(&project_root()).expect("cargo reads the manifests"));
    assert!(WORKSPACE.packages.len() > 6, "the workspace was not found");
    &WORKSPACE
}

fn code(rule: impl Fn(&Code, &Tree) -> Vec<Violation>) {
    static CODE: LazyLock<Code> = LazyLock::new(|| Code::read(tree(), workspace()));
    assert!(CODE.modules.len() > 200, "{} modules were found", CODE.modules.len());
    none(&rule(&CODE, tree()));
}

#[test]
fn packages_depend_only_on_those_they_may() {
    none(&dependencies::between_packages(workspace()));
}

#[test]
fn pure_packages_know_no_browser() {
    none(&dependencies::browser_in_pure_packages(workspace()));
}

#[test]
fn mechanics_imports_downwards() {
    code(|c, _| layers::upward(c, "mechanics", layers::MECHANICS));
}

#[test]
fn tracking_imports_downwards() {
    code(|c, _| layers::upward(c, "tracking", layers::TRACKING));
}

#[test]
fn no_file_imports_itself_through_others() {
    code(|c, _| circles::circles(c));
}

#[test]
fn every_public_item_is_used_in_another_file() {
    code(unused::public_items);
}

#[test]
fn names_are_the_field_s_words() {
    sources(vocabulary::banned_names);
}

#[test]
fn errors_are_no_text() {
    sources(signatures::text_errors);
}

#[test]
fn no_argument_is_a_tuple_of_more_than_three() {
    sources(signatures::long_tuples);
}

#[test]
fn one_file_turns_pixels_into_metres() {
    sources(pixels::metres_elsewhere);
}

#[test]
fn nothing_outside_of_tests_can_end_the_program() {
    sources(panics::panics);
}

#[test]
fn the_app_sends_nothing() {
    sources(privacy::sends_in_app);
}

#[test]
fn the_shell_sends_nothing() {
    sources(privacy::sends_in_shell);
}

#[test]
fn no_element_has_a_style() {
    sources(privacy::inline_styles);
}

#[test]
fn every_number_has_its_unit_in_its_name() {
    sources(quantities::fields_without_unit);
}

#[test]
fn degrees_are_in_one_file() {
    sources(quantities::degrees_elsewhere);
}

#[test]
fn files_are_short() {
    sources(sizes::long_files);
}

#[test]
fn functions_are_short() {
    sources(sizes::long_functions);
}

#[test]
fn every_file_begins_with_what_it_is() {
    sources(sizes::headless_files);
}

#[test]
fn no_file_is_over_two_mebibytes() {
    sources(sizes::big_files);
}

#[test]
fn the_top_level_is_as_agreed() {
    sources(files::top_level);
}

#[test]
fn every_fixture_has_a_source() {
    sources(files::fixtures);
}

#[test]
fn only_tests_use_the_folder_beside_the_project() {
    sources(files::uses_folder_beside);
}

#[test]
fn the_readme_names_every_command() {
    sources(commands::readme);
}
