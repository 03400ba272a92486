//! The table of `docs/verdicts.md`, read as it stands there.

use crate::outputs::OUTPUTS;
use std::path::Path;

/// A row.
#[derive(Debug)]
pub(crate) struct Row {
    pub(crate) number: String,
    pub(crate) name: String,
    /// One a output.
    pub(crate) cells: Vec<String>,
    /// Why outputs differ; empty where they do not.
    pub(crate) why: String,
}

/// All rows.
pub(crate) fn rows() -> Vec<Row> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the project").join("docs/verdicts.md");
    let text = std::fs::read_to_string(file).expect("the docs have the table");
    let (_, rest) = text.split_once("<!-- verdicts -->").expect("the mark before the table");
    let lines = rest.lines().skip_while(|line| line.is_empty()).take_while(|line| line.starts_with('|'));
    let mut lines = lines.map(|line| line.trim_matches('|').split('|').map(|cell| cell.trim().to_owned()));
    let head: Vec<String> = lines.next().expect("a head").collect();
    assert_eq!(head[2..8], OUTPUTS, "the columns");
    let row = |mut cells: Vec<String>| {
        assert_eq!(cells.len(), 9, "{cells:?}");
        let why = cells.pop().unwrap_or_default();
        let outputs = cells.split_off(2);
        let [number, name] = <[String; 2]>::try_from(cells).expect("number and situation");
        Row { number, name, cells: outputs, why }
    };
    lines.skip(1).map(|cells| row(cells.collect())).collect()
}
