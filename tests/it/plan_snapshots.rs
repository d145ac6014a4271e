//! The whole plan of each demo job, word by word.

use crate::program::{Bench, demo_plan};

#[test]
fn the_demos_plans_read_as_approved() {
    let bench = Bench::demo();
    for job in ["sample-board", "galley-kitchen", "curved-bar", "round-table"] {
        insta::assert_snapshot!(job, demo_plan(&bench, job));
    }
}
