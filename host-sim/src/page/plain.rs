//! The page in a terminal.

use super::html::day_and_time;
use super::{Board, Section, words};
use crate::problem::visible;
use crate::register::Is;
use crate::stamp::format_seconds;
use crate::words::{CAUTION, DEMO_CAUTION};
use std::fmt::Write;

/// The same as plain text, of one group or of all. `now` in seconds since 1970-01-01T00:00:00Z.
pub fn plain(board: &Board, group: Option<&str>, now: i64) -> String {
    let title = board.job().map_or(words::TITLE, |job| job.title.as_str());
    let mut text = format!(
        "{}\n{} {}\n{}\n",
        visible(title),
        words::MADE,
        format_seconds(now, board.offset_seconds()),
        words::AS_OF_NOTE
    );
    if board.demo() == Is::Yes {
        let _ = writeln!(text, "{DEMO_CAUTION}");
    }
    for section in Section::ALL {
        let count = board.count(section, group);
        if count == 0 {
            continue;
        }
        let _ =
            writeln!(text, "\n{} ({count})\n{}", words::section(section).to_uppercase(), words::section_note(section));
        for entry in board.section(section, group) {
            let time = entry.moment.map_or_else(String::new, |moment| {
                let up = i64::from(section != Section::SeatNow) * 59;
                let (day, time) = day_and_time(moment.utc.saturating_add(up), moment.offset_seconds);
                format!("  {day} {time} {}", words::moment(section))
            });
            let _ = writeln!(text, "\n  {} ({}){time}", visible(&entry.label), visible(&entry.group));
            let _ = writeln!(text, "    {}\n    {}", entry.headline, visible(&entry.sentence));
            if let (Some(passed), Some(moment)) = (entry.passed(), entry.moment)
                && now >= moment.utc
            {
                let _ = writeln!(text, "    {passed}");
            }
            let mut notes: Vec<String> = entry.notes.iter().map(|note| visible(note)).collect();
            if !entry.as_of.is_empty() {
                let ago = entry.as_of_at.map_or(String::new(), |at| format!(" ({})", words::ago(now - at.utc)));
                notes.push(format!("{}{ago}", entry.as_of));
            }
            if !notes.is_empty() {
                let _ = writeln!(text, "    {}", notes.join("; "));
            }
        }
    }
    if board.is_empty() {
        let _ = writeln!(text, "\n{}", words::EMPTY);
    }
    if board.others() > 0 {
        let _ = writeln!(text, "\n{}", words::others(board.others()));
    }
    let _ = writeln!(text, "\n{CAUTION}");
    text
}
