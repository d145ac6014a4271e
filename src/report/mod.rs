//! Plans, checks and looks for eyes and for other programs: values to text, one writer a file.
//!
//! Nothing is computed here: a report shows what the plan holds.

pub mod buy_rows;
pub mod ceiling_rows;
pub mod characterise_json;
pub mod characterise_text;
pub mod clock_rows;
pub mod correct_beside;
pub mod correct_first_vessel;
pub mod correct_rows;
mod correct_text;
pub mod correct_way;
pub mod diagnostic_text;
pub mod fill_rows;
pub mod finding_rows;
pub mod heed_rows;
pub mod html;
mod lamp_text;
mod left_out;
mod let_down_words;
pub mod look_words;
mod loss_words;
mod match_text;
mod mix_head;
mod mix_ratio_words;
mod page;
pub mod pdf;
pub mod piece_rows;
pub mod plan_json;
pub mod plan_text;
pub mod remedy_rows;
mod restoration_text;
pub mod samples;
pub mod scale_rows;
mod shape_words;
pub mod sheet;
pub mod sheet_text;
mod spread_words;
mod standing_words;
pub mod step_rows;
pub mod stop_rows;
mod stretches;
pub mod then_words;
pub mod time_words;
mod tolerance_text;
mod wait_words;

pub use correct_text::{CorrectHead, correct_json, correct_text};
pub use lamp_text::lamp_text;
pub use left_out::left_out_chips;
pub use let_down_words::let_down_words;
pub use match_text::{MatchHead, match_json, match_text};
pub use mix_head::MixHead;
pub use page::{Paint, WIDTH};
pub use plan_json::look_json;
pub use restoration_text::{Restoration, colour_unknown_words, restoration_json, restoration_text};
pub use tolerance_text::{tolerance_json, tolerance_text};
