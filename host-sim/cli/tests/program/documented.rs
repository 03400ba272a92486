//! The commands that the documentation shows are run as they stand there.
//!
//! A block of commands behind `<!-- run -->` in `docs` is run line by line in a folder of its own, beside the demo; each line must
//! end well, and what stands behind `# says ` in it must be printed or written.

use crate::folder::{Folder, demo, program, repository};
use std::path::Path;

/// The blocks of a page: lines with four blanks before them, up to the first that has none.
fn blocks(page: &str) -> Vec<Vec<String>> {
    let behind = page.split("<!-- run -->\n").skip(1);
    let block = |rest: &str| {
        let lines = rest.lines().skip_while(|line| line.is_empty()).take_while(|line| line.starts_with("    "));
        lines.map(|line| line.trim().to_owned()).collect()
    };
    behind.map(block).collect()
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
    for page in ["register", "board", "report"] {
        let text = std::fs::read_to_string(repository().join(format!("docs/{page}.md")));
        for (number, block) in blocks(&text.unwrap()).into_iter().enumerate() {
            let folder = folder(&format!("{page}-{number}"));
            for line in block {
                let (command, says) = line.split_once('#').map_or((&*line, None), |(command, note)| {
                    (command, note.trim().strip_prefix("says ").map(str::to_owned))
                });
                let told = run(command, folder.root());
                if let Some(says) = says {
                    assert!(told.contains(&says), "{command}: {says} is not in {told}");
                }
                ran += 1;
            }
        }
    }
    assert!(ran > 10, "only {ran} commands are marked to be run");
}
