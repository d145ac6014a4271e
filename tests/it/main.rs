//! Tests of the library and the program from outside, one file a topic.
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a test that panics has failed, which is what it is for; no picture hangs on a test's last bit"
)]

mod areas;
mod at_the_bench;
mod bad_files;
mod book;
mod by_calculator;
mod careless;
mod ceilings;
mod characterise;
mod characterise_cli;
mod clock_on_plan;
mod colour;
mod correct_for_a_job;
mod correct_of_a_job;
mod correct_on_schedule;
mod correct_refusals;
mod correct_slips;
mod correct_ways;
mod demo_pictures;
mod demo_readings;
mod film;
mod fingerprint;
mod floors;
mod hand_typed;
mod hints;
mod house_rules;
mod joint;
mod kits;
mod lay_out;
mod let_downs;
mod mass_balance;
mod matching;
mod matching_cli;
mod mist_on_plan;
mod nist_strd;
mod own_shop;
mod pieces;
mod plan_snapshots;
mod pour;
mod program;
mod proportion;
mod published_figures;
mod quantity;
mod quantity_errors;
mod quantity_laws;
mod random_jobs;
mod readings;
mod remedies;
mod samples_cli;
mod sheets;
mod shop_folder;
mod shop_text;
mod small_shop;
mod swatches;
mod unusual;
mod unusual_slips;
mod uprights;
mod writing;
