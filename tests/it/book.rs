//! The book, the README and the developers' text tell the truth: shop files in them are read by the
//! real readers, commands run, and links lead somewhere.
//!
//! A fence's words say what is done with a block:
//!
//! | words | what |
//! |---|---|
//! | `ron,KIND` | read as that noun's file, and must be sound |
//! | `…,file=PATH` | also written there, for the commands below it on the page |
//! | `console` | every line `$ pourbook …` is run in a copy of the demo shop; exit code 0 |
//! | `console,exit=N` | the same with another exit code |
//! | `console,exact` | the answer is exactly what is shown |
//! | `console,part` | every line shown but `…` stands in the answer, in that order |
//! | `console,ignore` | not run |
//!
//! With `BOOK_UPDATE=1` what is shown in exact blocks is written anew.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;

use pourbook::diagnostic::{Diagnostics, Source};
use pourbook::file;
use pourbook::model::House;
use tempfile::TempDir;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The book's pages, sorted.
fn pages() -> Vec<PathBuf> {
    let folder = root().join("book/src");
    let mut pages: Vec<PathBuf> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    pages.retain(|path| path.extension().is_some_and(|end| end == "md"));
    pages.sort();
    assert!(pages.len() > 5, "the book is not where it is looked for");
    pages
}

/// A fenced block: the words of its fence, its first line's number (from 0) and its lines.
struct Block {
    words: Vec<String>,
    first_line: usize,
    lines: Vec<String>,
}

impl Block {
    fn is(&self, word: &str) -> bool {
        self.words.iter().any(|each| each == word)
    }

    fn value(&self, key: &str) -> Option<&str> {
        self.words.iter().find_map(|each| each.strip_prefix(key)?.strip_prefix('='))
    }
}

fn blocks(text: &str) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut open: Option<Block> = None;
    for (at, line) in text.lines().enumerate() {
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(words)) => {
                let words = words.split(',').map(|word| word.trim().to_owned()).collect();
                open = Some(Block { words, first_line: at + 1, lines: Vec::new() });
            }
            (Some(_), Some(_)) => blocks.extend(open.take()),
            (Some(block), None) => block.lines.push(line.to_owned()),
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a fence is left open");
    blocks
}

/// Reads a text as the noun's file of that kind.
fn read(kind: &str, source: &Arc<Source>) -> Result<(), Diagnostics> {
    let house = House::default();
    match kind {
        "system" => file::system::read(source).map(drop),
        "colorant" => file::colorant::read(source).map(drop),
        "colourway" => file::colourway::read(source, &house).map(drop),
        "job" => file::job::read(source, &house).map(drop),
        "house" => file::house::read(source).map(drop),
        other => panic!("no file is called {other}"),
    }
}

#[test]
fn shop_files_of_the_book_are_sound() {
    let mut count = 0;
    for page in pages() {
        for block in blocks(&fs::read_to_string(&page).unwrap()) {
            if !block.is("ron") {
                continue;
            }
            let kind = block.words.get(1).map_or("", String::as_str);
            let name = format!("{}:{}", page.display(), block.first_line);
            assert!(!kind.is_empty(), "{name}: say which noun's file this is: ```ron,colourway");
            let source = Arc::new(Source { name, text: block.lines.join("\n") });
            if let Err(found) = read(kind, &source) {
                panic!("{found}");
            }
            count += 1;
        }
    }
    assert!(count >= 5, "only {count} shop files were found in the book");
}

/// The words of a command line: spaces part them, double quotes hold them together.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let (mut word, mut begun, mut quoted) = (String::new(), false, false);
    for character in line.chars() {
        match character {
            '"' => (quoted, begun) = (!quoted, true),
            ' ' if !quoted => {
                if begun {
                    words.push(std::mem::take(&mut word));
                }
                begun = false;
            }
            _ => {
                word.push(character);
                begun = true;
            }
        }
    }
    if begun {
        words.push(word);
    }
    words
}

/// Runs one command in `folder`: its exit code and what it says, mistakes first.
fn run(line: &str, folder: &Path) -> (i32, String) {
    let words = words(line);
    assert_eq!(words[0], "pourbook", "the book runs no other program: {line}");
    let output = Command::new(env!("CARGO_BIN_EXE_pourbook"))
        .args(&words[1..])
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    let said =
        String::from_utf8(output.stderr).unwrap() + &String::from_utf8(output.stdout).unwrap();
    (output.status.code().unwrap(), said.replace(&format!("{}/", folder.display()), ""))
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// What one console block asks and shows: commands with the lines shown after each.
fn commands(block: &Block) -> Vec<(String, Vec<String>)> {
    let mut commands: Vec<(String, Vec<String>)> = Vec::new();
    for line in &block.lines {
        if let Some(command) = line.strip_prefix("$ ") {
            commands.push((command.to_owned(), Vec::new()));
        } else if let Some((_, shown)) = commands.last_mut() {
            shown.push(line.clone());
        }
    }
    commands
}

/// The lines that are shown and do not stand in the answer in that order.
fn missing<'a>(shown: &'a [String], said: &str) -> Vec<&'a str> {
    let mut answer = said.lines().map(str::trim_end);
    shown
        .iter()
        .map(|line| line.trim_end())
        .filter(|line| *line != "…" && !answer.any(|each| each == *line))
        .collect()
}

/// Runs a console block; the lines that it should show.
fn run_block(block: &Block, folder: &Path, place: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let expected: i32 = block.value("exit").map_or(0, |code| code.parse().unwrap());
    let commands = commands(block);
    assert!(!commands.is_empty(), "{place}: no line begins with $");
    for (command, shown) in commands {
        let (code, said) = run(&command, folder);
        assert_eq!(code, expected, "{place}: {command}\n{said}");
        if block.is("part") {
            let missing = missing(&shown, &said);
            assert!(missing.is_empty(), "{place}: {command} does not say {missing:#?}:\n{said}");
        }
        lines.push(format!("$ {command}"));
        lines.extend(said.lines().map(|line| line.trim_end().to_owned()));
    }
    lines
}

#[test]
fn commands_of_the_book_run_and_answer_as_shown() {
    let update = std::env::var_os("BOOK_UPDATE").is_some();
    let mut count = 0;
    for page in pages() {
        let text = fs::read_to_string(&page).unwrap();
        let folder = TempDir::new().unwrap();
        copy(&root().join("recipes"), folder.path());
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        // From the end, so that a longer answer moves no block that is still to be written.
        let mut anew: Vec<(usize, usize, Vec<String>)> = Vec::new();
        for block in blocks(&text) {
            let place = format!("{}:{}", page.display(), block.first_line);
            if let Some(path) = block.value("file") {
                let path = folder.path().join(path);
                fs::create_dir_all(path.parent().unwrap()).unwrap();
                fs::write(path, block.lines.join("\n") + "\n").unwrap();
            }
            if !block.is("console") || block.is("ignore") {
                continue;
            }
            count += 1;
            let now = run_block(&block, folder.path(), &place);
            if block.is("exact") && now != block.lines {
                assert!(
                    update,
                    "{place} shows another answer (BOOK_UPDATE=1 writes it anew):\n{}",
                    now.join("\n")
                );
                anew.push((block.first_line, block.lines.len(), now));
            }
        }
        for (first, length, now) in anew.into_iter().rev() {
            lines.splice(first..first + length, now);
        }
        if update {
            fs::write(&page, lines.join("\n") + "\n").unwrap();
        }
    }
    assert!(count >= 5, "only {count} blocks of commands were found in the book");
}

/// Where the links of a Markdown text lead, outside its blocks and code spans.
fn links(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut fenced = false;
    for line in text.lines() {
        if line.starts_with("```") {
            fenced = !fenced;
        }
        if fenced {
            continue;
        }
        for (at, _) in line.match_indices("](") {
            let rest = &line[at + 2..];
            if let Some(end) = rest.find(')') {
                found.push(rest[..end].to_owned());
            }
        }
    }
    found
}

/// The anchor of a heading, as the book makes it: small letters, hyphens for spaces.
fn anchor(heading: &str) -> String {
    heading
        .trim()
        .to_lowercase()
        .chars()
        .filter(|each| each.is_alphanumeric() || matches!(each, ' ' | '-' | '_'))
        .map(|each| if each == ' ' { '-' } else { each })
        .collect()
}

#[test]
fn links_lead_to_files_and_headings() {
    let mut texts = pages();
    texts.extend(["README.md", "DEVELOPERS.md"].map(|name| root().join(name)));
    let mut wrong = Vec::new();
    for page in &texts {
        let text = fs::read_to_string(page).unwrap();
        for link in links(&text) {
            if link.starts_with("https://") {
                continue;
            }
            let (path, heading) = link.split_once('#').unwrap_or((&link, ""));
            let target =
                if path.is_empty() { page.clone() } else { page.parent().unwrap().join(path) };
            let there = target.exists()
                && (heading.is_empty()
                    || fs::read_to_string(&target).unwrap().lines().any(|line| {
                        line.starts_with('#') && anchor(line.trim_start_matches('#')) == heading
                    }));
            if !there {
                wrong.push(format!("{}: {link}", page.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "links that lead nowhere:\n{}", wrong.join("\n"));
}

#[test]
fn every_page_stands_in_the_summary() {
    let summary = fs::read_to_string(root().join("book/src/SUMMARY.md")).unwrap();
    let listed = links(&summary);
    for page in pages() {
        let name = page.file_name().unwrap().to_string_lossy().into_owned();
        assert!(name == "SUMMARY.md" || listed.contains(&name), "{name} is not in the summary");
    }
}

/// What stands behind a word that names a standard: `ISO 6504-3` gives `6504-3`.
fn numbers_after(text: &str, word: &str) -> Vec<String> {
    text.match_indices(word)
        .map(|(at, _)| {
            let rest = &text[at + word.len()..];
            let number: String = rest
                .chars()
                .take_while(|each| each.is_ascii_alphanumeric() || matches!(each, '.' | '-' | ':'))
                .collect();
            number.trim_end_matches(['.', '-', ':']).to_owned()
        })
        .filter(|number| number.chars().any(|each| each.is_ascii_digit()))
        .collect()
}

fn rust_texts(folder: &Path, found: &mut Vec<(PathBuf, String)>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_texts(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs") {
            let text = fs::read_to_string(&path).unwrap();
            found.push((path, text));
        }
    }
}

#[test]
fn every_standard_that_the_code_cites_is_in_the_bibliography() {
    let sources = fs::read_to_string(root().join("book/src/sources.md")).unwrap();
    let mut texts = Vec::new();
    rust_texts(&root().join("src"), &mut texts);
    let mut missing = Vec::new();
    let mut cited = 0;
    for (path, text) in texts {
        for word in ["ISO ", "IEC ", "ISO/CIE ", "ASTM ", "CIE ", " CFR "] {
            for number in numbers_after(&text, word) {
                // "CIE 1931" is an observer, not a publication; a year of an edition is told once.
                let observer =
                    word == "CIE " && matches!(number.as_str(), "1931" | "1960" | "1964");
                let (bare, _) = number.split_once(':').unwrap_or((&number, ""));
                cited += 1;
                if !observer && !sources.contains(bare) {
                    missing.push(format!("{}: {word}{number}", path.display()));
                }
            }
        }
    }
    assert!(cited > 20, "only {cited} standards were seen");
    assert!(missing.is_empty(), "not in book/src/sources.md:\n{}", missing.join("\n"));
}

#[test]
fn blocks_words_links_and_anchors_are_seen() {
    let text =
        "a [b](c.md#d) `x`\n```console,exit=2\n$ pourbook plan \"Low Tide\" --json\nno\n```\n";
    let seen = blocks(text);
    assert_eq!(seen.len(), 1, "one block");
    assert_eq!((seen[0].value("exit"), seen[0].first_line), (Some("2"), 2));
    assert_eq!(
        words("pourbook plan \"Low Tide\" --json"),
        ["pourbook", "plan", "Low Tide", "--json"]
    );
    assert_eq!(links(text), ["c.md#d"]);
    assert_eq!(anchor("What it does not do"), "what-it-does-not-do");
    let shown = ["b", "…", "a"].map(str::to_owned);
    assert_eq!(missing(&shown, "a\nb\nc"), ["a"], "order matters");
}
