//! `characterise --samples` and `--predict`: from words to an answer.

use std::path::PathBuf;

use super::args::Common;
use super::characterise::TableWords;
use super::env::Env;
use super::run::json_text;
use super::show::{complain, print};
use crate::acts::{self, FitFrom, Fitted, SampleTable};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::file::readings::Scale;
use crate::report::samples::{agreement, fit_json, fit_text, prediction_csv, prediction_json};
use crate::spectrum::{Illuminant, Observer};
use crate::store::write_file;

/// What tables share with readings.
pub(super) struct Asked {
    pub(super) scale: Option<Scale>,
    pub(super) lamp: Illuminant,
    pub(super) observer: Observer,
    pub(super) to: Option<PathBuf>,
}

pub(super) fn samples(
    env: &mut Env<'_>,
    common: &Common,
    words: TableWords,
    asked: Asked,
) -> Result<u8, Diagnostics> {
    let table = |path: PathBuf| SampleTable { path, scale: asked.scale, map: words.map.clone() };
    let from = match (words.samples, words.fit) {
        (Some(path), _) => FitFrom::Table(table(path), words.index),
        (None, Some(path)) => FitFrom::Kept(path),
        (None, None) => {
            return Err(Diagnostic::error("predict from what?")
                .hint("--samples FILE fits a table first; --fit FILE takes a fit that was kept")
                .into());
        }
    };
    let folds = words.cross_validate.and_then(|folds| usize::try_from(folds).ok());
    let Fitted { fit, held_out, mut said } = acts::joint_fit(&from, folds)?;
    let answer = match words.predict {
        Some(path) => {
            let (viewed, more) =
                acts::joint_predict(&fit, &table(path), &asked.lamp, asked.observer)?;
            said.extend(more);
            if let Some(words) = agreement(&viewed).filter(|_| !common.json) {
                said.push(Diagnostic::note(words));
            }
            if common.json { json_text(&prediction_json(&viewed)) } else { prediction_csv(&viewed) }
        }
        None if common.json => json_text(&fit_json(&fit, held_out.as_ref())),
        None => fit_text(&fit, held_out.as_ref(), env.paint_out),
    };
    if let Some(path) = &words.fit_to {
        let text = fit.to_json().map_err(|why| Diagnostic::error(why.to_string()))?;
        write_file(path, text.as_bytes())?;
    }
    let code = complain(env, &said);
    match asked.to {
        Some(path) => {
            write_file(&path, answer.as_bytes())?;
            Ok(code)
        }
        None => Ok(code.max(print(env, &answer))),
    }
}
