//! Measured readings in the forms that instruments and spreadsheets write, and in the forms they should not.

use std::fmt::Write as _;
use std::sync::Arc;

use pourbook::diagnostic::{Diagnostics, Source};
use pourbook::file::decode::{LARGEST_READINGS, decode};
use pourbook::file::readings::{self, RawReadings, Scale, Table};
use proptest::prelude::*;

fn source(name: &str, text: &str) -> Arc<Source> {
    Arc::new(Source { name: name.into(), text: text.into() })
}

fn read(text: &str) -> Result<RawReadings, Diagnostics> {
    readings::read(&source("r.txt", text), None)
}

/// Bands from 400 to 700 nm, 50 nm apart, with the numbers of three samples as fractions.
const BANDS: [f64; 7] = [400.0, 450.0, 500.0, 550.0, 600.0, 650.0, 700.0];
const WHITE: [f64; 7] = [0.62, 0.83, 0.87, 0.88, 0.88, 0.89, 0.9];
const BLUE: [f64; 7] = [0.21, 0.34, 0.18, 0.07, 0.05, 0.06, 0.31];

fn wide_csv(percent: bool, separator: char) -> String {
    let sep = separator.to_string();
    let heads: Vec<String> = BANDS.iter().map(|nm| format!("R{nm}")).collect();
    let row = |values: &[f64; 7]| {
        let cells: Vec<String> = values
            .iter()
            .map(|v| if percent { format!("{:.1}", v * 100.0) } else { v.to_string() })
            .collect();
        cells.join(&sep)
    };
    format!(
        "name{sep}film_mm{sep}{}\nwhite{sep}3{sep}{}\nblue{sep}2{sep}{}\n",
        heads.join(&sep),
        row(&WHITE),
        row(&BLUE)
    )
}

fn is_both(readings: &RawReadings) {
    assert_eq!(readings.samples.len(), 2);
    for (sample, (id, wanted)) in readings.samples.iter().zip([("white", WHITE), ("blue", BLUE)]) {
        assert_eq!(sample.id, id);
        assert_eq!(sample.wavelengths_nm, BANDS);
        for (read, wanted) in sample.reflectance.iter().zip(wanted) {
            assert!((read - wanted).abs() < 1e-9, "{id}: {read} is not {wanted}");
        }
    }
}

#[test]
fn a_wide_table_reads_the_same_as_fraction_and_percent_by_any_separator() {
    for percent in [false, true] {
        for separator in [',', ';', '\t'] {
            let readings = read(&wide_csv(percent, separator)).unwrap();
            is_both(&readings);
            assert_eq!(readings.samples[1].columns["film_mm"], "2");
            let said = readings.warnings.to_string();
            let word = if percent { "taken as percent" } else { "taken as fractions" };
            assert!(said.contains(word), "the choice is told: {said}");
        }
    }
    let declared =
        readings::read(&source("r.csv", &wide_csv(true, ',')), Some(Scale::Percent)).unwrap();
    assert_eq!(declared.warnings, Diagnostics::default(), "a declared scale needs no word");
    let stated = read(&wide_csv(true, ',').replace("R400", "R400 %")).unwrap();
    assert_eq!(stated.warnings, Diagnostics::default(), "nor does one in the heading");
}

#[test]
fn a_long_table_reads_as_the_wide_one() {
    let mut text = "sample,wavelength,reflectance (%)\n".to_owned();
    for at in (0..7).rev() {
        writeln!(text, "white,{},{}", BANDS[at], WHITE[at] * 100.0).unwrap();
        writeln!(text, "blue,{},{}", BANDS[at], BLUE[at] * 100.0).unwrap();
    }
    is_both(&read(&text).unwrap());
}

fn cgats(fields: &str, rows: &str) -> String {
    let count = fields.split_whitespace().count();
    format!(
        "CGATS.17\nORIGINATOR \"bench\" # by hand\nMEASUREMENT_GEOMETRY \"45/0\"\nNUMBER_OF_FIELDS {count}\n\
         BEGIN_DATA_FORMAT\n{fields}\nEND_DATA_FORMAT\nNUMBER_OF_SETS 2\nBEGIN_DATA\n{rows}\nEND_DATA\n"
    )
}

#[test]
fn cgats_reads_in_every_spelling_of_its_bands() {
    for before in ["SPECTRAL_NM", "SPECTRAL_NM_", "SPECTRAL_", "NM_", "nm", "SPECTRAL_DEC_"] {
        let heads: Vec<String> = BANDS.iter().map(|nm| format!("{before}{nm}")).collect();
        let row = |values: &[f64; 7]| values.map(|v| v.to_string()).join("\t");
        let text = cgats(
            &format!("SAMPLE_ID LAB_L LAB_A LAB_B {}", heads.join(" ")),
            &format!("white 94.5 -0.4 2.5 {}\n\"blue\"\t31 4 -38\t{}", row(&WHITE), row(&BLUE)),
        );
        let readings = read(&text).unwrap();
        is_both(&readings);
        assert_eq!(readings.samples[1].lab, Some([31.0, 4.0, -38.0]));
        assert_eq!(readings.facts["MEASUREMENT_GEOMETRY"], "45/0");
    }
}

#[test]
fn cgats_reads_pairs_of_band_and_number_and_rows_over_several_lines() {
    let pairs = |values: &[f64; 7]| {
        BANDS
            .iter()
            .zip(values)
            .map(|(nm, v)| format!("{nm} {}", v * 100.0))
            .collect::<Vec<_>>()
            .join("\n")
    };
    let text = cgats(
        &format!("SAMPLE_ID{}", " SPECTRAL_NM SPECTRAL_PCT".repeat(7)),
        &format!("white {}\nblue {}", pairs(&WHITE), pairs(&BLUE)),
    );
    let readings = read(&text).unwrap();
    is_both(&readings);
    assert_eq!(readings.warnings, Diagnostics::default());
}

#[test]
fn cgats_reads_names_with_blanks_where_tabs_part_the_cells() {
    let heads: Vec<String> = BANDS.iter().map(|nm| format!("NM_{nm}")).collect();
    let row = |values: &[f64; 7]| values.map(|v| v.to_string()).join("\t");
    let text = cgats(
        &format!("SAMPLE_NAME\tNOTE\t{}", heads.join("\t")),
        &format!("white\tover black\t{}\nblue\t\t{}", row(&WHITE), row(&BLUE)),
    );
    let readings = read(&text).unwrap();
    is_both(&readings);
    assert_eq!(readings.samples[0].columns["NOTE"], "over black");
}

#[test]
fn a_colour_alone_is_a_reading_and_so_is_a_row_without_one() {
    let readings = read("id,L*,a*,b*\nwhite,95,0,2\nnothing,,,\n").unwrap();
    assert_eq!(readings.samples[0].lab, Some([95.0, 0.0, 2.0]));
    assert_eq!(readings.samples[1].lab, None);
    let asked = read(&format!("{}new,1,,,,,,,\n", wide_csv(false, ','))).unwrap();
    assert!(asked.samples[2].reflectance.is_empty(), "amounts alone, for a prediction");
}

#[test]
fn what_is_wrong_with_readings_is_told_with_its_place() {
    let good = wide_csv(false, ',');
    let cells = "SAMPLE_ID NM_400 NM_550 NM_700";
    let slips = [
        ("a band twice", good.replace("R450", "R400")),
        ("a missing band", good.replace("0.83", "")),
        ("a word", good.replace("0.83", "n/a")),
        ("not a number", good.replace("0.83", "NaN")),
        ("decimal commas beside commas", good.replace("0.", "0,")),
        ("decimal commas beside semicolons", wide_csv(false, ';').replace("0.", "0,")),
        ("below zero", good.replace("0.05", "-0.05")),
        ("noise below zero", good.replace("0.05", "-0.003")),
        ("above one", good.replace("0.9\n", "1.4\n")),
        (
            "percent and fraction mixed",
            good.replace("0.62,0.83,0.87,0.88,0.88,0.89,0.9", "62,83,87,88,88,89,90"),
        ),
        ("neither percent nor fraction", good.replace("0.9\n", "1.9\n").replace("0.62", "1.7")),
        ("no bands", "name,film\nwhite,3\n".to_owned()),
        ("no rows", "name,R400,R500\n".to_owned()),
        ("nothing", String::new()),
        ("a hole between bands", {
            let heads: Vec<String> =
                (40..=70).filter(|nm| *nm != 55).map(|nm| format!("R{nm}0")).collect();
            format!("{}\n{}\n", heads.join(","), vec!["0.5"; heads.len()].join(","))
        }),
        ("half a spectrum", "R400,R500\n0.5,0.6\n".to_owned()),
        ("cgats cut off", cgats(cells, "a 0.1 0.2 0.3\nb 0.4 0.5 0.6").replace("END_DATA\n", "")),
        ("cgats with a row short", cgats(cells, "a 0.1 0.2 0.3\nb 0.4 0.5")),
        ("cgats with a row less", cgats(cells, "a 0.1 0.2 0.3")),
        ("cgats without format", "CGATS.17\nBEGIN_DATA\n1 2\nEND_DATA\n".to_owned()),
        ("cgats with decimal commas", cgats(cells, "a 0,1 0,2 0,3\nb 0,4 0,5 0,6")),
        (
            "cgats with other counts",
            cgats(cells, "a 0.1 0.2 0.3\nb 0.4 0.5 0.6").replace("FIELDS 4", "FIELDS 9"),
        ),
        ("Lab in two columns", "id,LAB_L,LAB_A,R400,R700\nx,50,1,0.5,0.6\n".to_owned()),
        ("an impossible lightness", "id,L*,a*,b*\nx,500,1,2\n".to_owned()),
    ];
    let mut all = String::new();
    for (what, text) in slips {
        let said = match read(&text) {
            Ok(readings) => readings.warnings,
            Err(told) => told,
        };
        assert!(!said.0.is_empty(), "{what} is taken without a word");
        writeln!(all, "{what}\n{said}\n").unwrap();
    }
    insta::assert_snapshot!(all);
}

#[test]
fn utf_16_and_junk_are_refused_before_they_are_read() {
    let utf16: Vec<u8> = std::iter::once(0xFEFF)
        .chain(wide_csv(false, ',').encode_utf16())
        .flat_map(u16::to_le_bytes)
        .collect();
    let told = decode("r.csv", &utf16, LARGEST_READINGS).unwrap_err().to_string();
    assert_eq!(told, "r.csv:1:1: error: the file is UTF-16 text (save it as UTF-8)");
    let junk = vec![b'x'; 50 << 20];
    let told = decode("r.csv", &junk, LARGEST_READINGS).unwrap_err().to_string();
    assert!(told.contains("50.0 MiB where at most 32.0 MiB"), "{told}");
    let told = decode("r.csv", &[0xFF, 0xD8, 0xFF, 0xE0, 0, 16], LARGEST_READINGS)
        .unwrap_err()
        .to_string();
    assert!(told.contains("this is not a text file"), "a picture: {told}");
}

#[test]
fn a_whole_wrong_file_gives_a_few_words_not_thousands() {
    let told = read(&format!("a,R400,R500,R600\n{}", "x,y,z,w\n".repeat(5000))).unwrap_err();
    assert!(told.0.len() < 50, "{} mistakes told", told.0.len());
}

proptest! {
    #[test]
    fn any_text_gives_readings_or_a_reason(
        text in "([ -~é]|[,;\t\n\r\"#]|BEGIN_DATA(_FORMAT)?\n|\nEND_DATA(_FORMAT)?|NM_[0-9]{3} |R[3-7]00,|0\\.[0-9])*",
    ) {
        match read(&text) {
            Ok(readings) => {
                for sample in &readings.samples {
                    prop_assert_eq!(sample.wavelengths_nm.len(), sample.reflectance.len());
                    prop_assert!(sample.wavelengths_nm.windows(2).all(|pair| pair[0] < pair[1]), "bands rise");
                    prop_assert!(sample.reflectance.iter().all(|r| (0.0..=2.0).contains(r)), "fractions");
                }
            }
            Err(told) => prop_assert!(told.stop(), "a refusal has a reason"),
        }
    }

    #[test]
    fn written_fractions_and_percents_read_back(
        rows in prop::collection::vec(prop::collection::vec(0.0..1.0_f64, 31), 1..5), percent in any::<bool>(),
    ) {
        let unit = if percent { " %" } else { "" };
        let heads: Vec<String> = (40..=70).map(|nm| format!("{nm}0{unit}")).collect();
        let mut text = format!("{}\n", heads.join(","));
        for row in &rows {
            let cells: Vec<String> = row.iter().map(|r| (r * if percent { 100.0 } else { 1.0 }).to_string()).collect();
            writeln!(text, "{}", cells.join(",")).unwrap();
        }
        let scale = if percent { Scale::Percent } else { Scale::Fraction };
        let read = readings::read(&source("r.csv", &text), Some(scale));
        let read = read.map_err(|told| TestCaseError::fail(told.to_string()))?;
        for (sample, row) in read.samples.iter().zip(&rows) {
            for (a, b) in sample.reflectance.iter().zip(row) {
                prop_assert!((a - b).abs() < 1e-12);
            }
        }
    }
}

#[test]
fn a_table_of_amounts_is_walked_by_its_columns() {
    let table = Table::csv(&source("t.csv", "sample,loading_black\nA,0.6\nB,x\n")).unwrap();
    let black = table.need("loading_black").unwrap();
    assert_eq!(table.number(0, black), Ok(0.6));
    assert_eq!(
        table.number(1, black).unwrap_err().to_string(),
        "t.csv:3:3: error: \"x\" is no number"
    );
}
