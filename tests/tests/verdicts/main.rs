//! One fixing, every output: situations of a fixing are put through the logger's screen, `link status`, list, page, hand-over
//! record and proof, and what each says is held against the table of `docs/verdicts.md`, cell by cell.
//!
//! How: a *situation* leaves a logger and evidence; each output is asked, and its own words are put down as one *verdict* with
//! its *marks*. Invariants: an output is read as a person reads it, by headline, sentence and section, never by asking the engine
//! or the order of claims; the words of a verdict stand in the docs alone.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

mod outputs;
mod plays;
mod scene;
mod situations;
mod table;

use outputs::OUTPUTS;

#[test]
fn every_output_says_of_every_situation_what_the_table_says() {
    let rows = table::rows();
    let situations = situations::all();
    let mut differing = Vec::new();
    let mut found = Vec::new();
    for (place, situation) in situations.iter().enumerate() {
        let (name, number) = (situation.name, (place + 1).to_string());
        // the others are tried all the same: one run tells every difference
        let said = std::panic::catch_unwind(|| outputs::of(&(situation.play)(), &number));
        let Ok(cells) = said else {
            differing.push(format!("{number}, {name}: stopped, see above"));
            continue;
        };
        found.push(format!("| {number} | {name} | {} |", cells.join(" | ")));
        match rows.get(place) {
            Some(row) if row.number == number && row.name == name => {
                for ((output, found), told) in OUTPUTS.iter().zip(&cells).zip(&row.cells) {
                    if found != told {
                        differing.push(format!("{number}, {name}: {output} says {found:?}, the table {told:?}"));
                    }
                }
            }
            Some(row) => differing.push(format!("{number} is {name:?}, in the table {} is {:?}", row.number, row.name)),
            None => differing.push(format!("{number}, {name}: not in the table")),
        }
    }
    assert!(differing.is_empty(), "{}\n\nas found:\n{}", differing.join("\n"), found.join("\n"));
    assert!(rows.len() >= 40, "{} rows", rows.len());
    assert_eq!(rows.len(), situations.len(), "the table has rows that nobody tries");
}

#[test]
fn no_row_lets_one_output_load_what_another_forbids_unless_it_says_why() {
    for row in table::rows() {
        let word = |cell: &String| cell.split(' ').next().unwrap_or_default().to_owned();
        let words: Vec<String> = row.cells.iter().map(word).collect();
        let says = |these: &[&str]| words.iter().any(|word| these.contains(&word.as_str()));
        let forbids = says(&["do-not-load", "not-proved"]);
        let leads_on = says(&["torque", "again", "load"]);
        assert!(!(leads_on && forbids && row.why.is_empty()), "{}: {}: {words:?}", row.number, row.name);
        // list, page and record have the same evidence: where they differ a job file was given, which the list does not take
        let same = words[2] == words[3] && words[3] == words[4];
        assert!(same || row.name.contains("version"), "{}: {}", row.number, row.name);
    }
}
