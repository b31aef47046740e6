//! The errors of the example `measure` for a file of positions that cannot be read: line, column, reason.

#![allow(clippy::unwrap_used, reason = "a test stops at wrong data")]

#[path = "../examples/measure/positions.rs"]
mod positions;

use mechanics::body::Landmark;

/// The message for a file; empty if the file can be read.
fn message(text: &str) -> String {
    positions::read(text).err().map(|why| why.to_string()).unwrap_or_default()
}

#[test]
fn a_file_that_cannot_be_read_names_line_column_and_reason() {
    for (text, line, column, reason) in [
        ("t_s,R_hip_x,R_hip_y\n0,1,2\n0.1,x,2\n", "line 3", "R_hip_x", "not a number"),
        ("t_s,R_hip_x,R_hip_y\n0,1,2\n0.1,1,inf\n", "line 3", "R_hip_y", "not a number"),
        ("t_s,R_hip_x,R_hip_y\n0,1,2\n0.1,1\n", "line 3", "R_hip_y", "field is missing"),
        ("t_s,R_hip_x,R_hip_y\n0,1,2,3\n", "line 2", "column 4", "no name"),
        ("t_s,R_hip_x,R_hip_y\n0.2,1,2\n\n0.1,1,2\n", "line 4", "t_s", "not later"),
        ("t_s,R_hip_x,R_hip_y\n,1,2\n", "line 2", "t_s", "time is missing"),
        ("R_hip_x,R_hip_y\n1,2\n", "line 1", "t_s", "missing"),
        ("t_s,R_hip_x,R_hip_x\n0,1,2\n", "line 1", "R_hip_x", "twice"),
        ("t_s,R_hip_x\n0,1\n", "line 1", "near hip", "only one of _x and _y"),
    ] {
        let message = message(text);
        let all = [line, column, reason].iter().all(|words| message.contains(words));
        assert!(all, "{text:?}: {message}");
        // What is wrong, then what to do.
        assert!(message.contains(": "), "{message}");
    }
    assert!(message("").contains("empty"));
}

#[test]
fn an_empty_field_is_a_missing_position_and_other_columns_are_ignored() {
    let text = "t_s,L_mt5_x,L_mt5_y,head_x,head_y,mood\n0,1,2,3,4,\n0.1,,2,3,4,7\n";
    let read = positions::read(text).unwrap();
    assert_eq!(read.times_s, [0.0, 0.1]);
    let toe = &read.points[&Landmark::FarToe];
    assert!(toe[0].is_some_and(|p| p.x_m == 1.0 && p.y_m == 2.0) && toe[1].is_none());
    assert!(read.points[&Landmark::Head].iter().all(Option::is_some) && read.points.len() == 2);
}
