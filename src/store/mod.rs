//! The disk: shops read, files written.
//!
//! | file | what |
//! |---|---|
//! | `text` | one file to its text: missing, too large, no file at all, not text |
//! | `shop` | a shop's folder to a [`Shop`](crate::model::Shop), with the place of every noun |
//! | `check` | what the files of a shop say of one another |
//! | `earlier` | what an earlier plan left in a folder |
//! | `apart` | which outputs of one command may stand beside one another |
//! | `write` | files put in their place whole or not at all |
//! | `refusal` | what the system says, in words for a person |
//!
//! Nothing here decides what a file means: that is [`file`](crate::file), which never touches the
//! disk. Nothing else in the crate reads or writes a person's files.

mod apart;
mod check;
mod earlier;
mod refusal;
mod shop;
mod text;
mod write;

pub use apart::{Named, apart, outside_shop_folders};
pub use check::{check_all, told};
pub use earlier::left_from_earlier;
pub(crate) use refusal::shown;
pub use shop::{Files, Opened, ShopFile, Unsound, open};
pub use text::read_text;
pub use write::{NewFile, write_each, write_file, write_files};
