//! The commands that the documentation shows are run as they stand there.
//!
//! A block of commands behind `<!-- run -->` in `README.md` or `docs` is run line by line in a folder of its own, beside the demo;
//! each line must end well, and what stands behind `# says ` in it must be printed or written. Every line of a block fenced as `text`
//! right behind them must be printed by them (but for `...`, which stands for what is left out). The picture that `README.md` shows is
//! the one that the program draws (`HOLDOFF_DRAW=1` draws it anew).

use crate::folder::{Folder, demo, program, repository};
use std::path::Path;

/// The pages that show commands.
const PAGES: [&str; 10] = [
    "README.md",
    "docs/board.md",
    "docs/cure-rules-plain.md",
    "docs/depth.md",
    "docs/interfaces.md",
    "docs/job-file.md",
    "docs/plan.md",
    "docs/probe.md",
    "docs/register.md",
    "docs/report.md",
];

/// Commands of a page, and what the page shows of what they print.
struct Block {
    commands: Vec<String>,
    printed: Vec<String>,
}

/// The blocks of a page: lines with four blanks before them, up to the first that has none; what is printed stands right behind
/// them, fenced as `text`.
fn blocks(page: &str) -> Vec<Block> {
    let block = |rest: &str| {
        let mut lines = rest.lines().skip_while(|line| line.is_empty()).peekable();
        let mut commands = Vec::new();
        while let Some(line) = lines.next_if(|line| line.starts_with("    ")) {
            commands.push(line.trim().to_owned());
        }
        let mut behind = lines.skip_while(|line| line.is_empty());
        let printed = match behind.next() {
            Some("```text") => behind.take_while(|line| *line != "```").map(|line| line.trim().to_owned()).collect(),
            _ => Vec::new(),
        };
        Block { commands, printed }
    };
    page.split("<!-- run -->\n").skip(1).map(block).collect()
}

/// A folder with the demo in its place.
fn folder(name: &str) -> Folder {
    let folder = Folder::new(name);
    let place = folder.root().join("host-sim/demo");
    std::fs::create_dir_all(&place).unwrap();
    for file in std::fs::read_dir(demo("")).unwrap() {
        let file = file.unwrap();
        std::fs::copy(file.path(), place.join(file.file_name())).unwrap();
    }
    folder
}

/// Runs a line; what it printed, and the files that it names.
fn run(line: &str, folder: &Path) -> String {
    let mut words = line.split_whitespace();
    assert_eq!(words.next(), Some("holdoff"), "{line}");
    let words: Vec<&str> = words.collect();
    let output = program().args(&words).current_dir(folder).output().unwrap();
    assert!(output.status.success(), "{line}: {}", String::from_utf8_lossy(&output.stderr));
    let mut told = String::from_utf8_lossy(&output.stdout).into_owned();
    for page in words.iter().filter(|word| word.ends_with(".html")) {
        told.push_str(&std::fs::read_to_string(folder.join(page)).unwrap());
    }
    told
}

#[test]
fn documented_commands_end_well_and_say_what_the_page_says_they_do() {
    let mut ran = 0;
    for page in PAGES {
        let text = std::fs::read_to_string(repository().join(page));
        let blocks = blocks(&text.unwrap());
        assert!(!blocks.is_empty(), "{page} has no commands to run");
        for (number, block) in blocks.into_iter().enumerate() {
            let folder = folder(&format!("{}-{number}", page.replace('/', "-")));
            let mut all = String::new();
            for line in block.commands {
                let (command, says) = line.split_once('#').map_or((&*line, None), |(command, note)| {
                    (command, note.trim().strip_prefix("says ").map(str::to_owned))
                });
                let told = run(command, folder.root());
                if let Some(says) = says {
                    assert!(told.contains(&says), "{command}: {says} is not in {told}");
                }
                all.push_str(&told);
                ran += 1;
            }
            for line in block.printed.iter().filter(|line| *line != "...") {
                assert!(all.contains(line), "{page}: {line} is not in {all}");
            }
        }
    }
    assert!(ran > 10, "only {ran} commands are marked to be run");
}

#[test]
fn the_picture_shown_first_is_the_one_that_the_program_draws() {
    let folder = folder("picture");
    run("holdoff demo --plot demo.svg", folder.root());
    let drawn = std::fs::read_to_string(folder.root().join("demo.svg")).unwrap();
    let kept = repository().join("docs/demo.svg");
    if std::env::var_os("HOLDOFF_DRAW").is_some() {
        std::fs::write(&kept, &drawn).unwrap();
    }
    assert!(drawn == std::fs::read_to_string(&kept).unwrap(), "docs/demo.svg is not what the program draws");
}
