//! The page in a terminal.

use super::html::day_and_time;
use super::{Board, Section, words};
use crate::words::PagePhrase as P;
use holdoff_files::problem::visible;
use holdoff_files::stamp::format_seconds;
use std::fmt::Write;

/// The same as plain text, of one group or of all. `now` in seconds since 1970-01-01T00:00:00Z.
pub fn plain(board: &Board, group: Option<&str>, now: i64) -> String {
    let (speech, group) = (board.speech(), group.map(visible));
    let group = group.as_deref();
    let title = board.job().map_or_else(|| speech.say(P::Title), |job| job.title.as_str());
    let mut text = format!(
        "{}\n{} {}\n{}\n",
        visible(title),
        speech.say(P::Made),
        format_seconds(now, board.offset_seconds()),
        speech.say(P::AsOfNote)
    );
    if board.demo() {
        let _ = writeln!(text, "{}", speech.demo_caution());
    }
    for warning in board.warnings() {
        let _ = writeln!(text, "! {warning}");
    }
    for section in Section::ALL {
        let count = board.count(section, group);
        if count == 0 {
            continue;
        }
        let heading = speech.say(words::section(section)).to_uppercase();
        let _ = writeln!(text, "\n{heading} ({count})\n{}", speech.say(words::section_note(section)));
        for entry in board.section(section, group) {
            let time = entry.moment.map_or_else(String::new, |moment| {
                let up = i64::from(section != Section::SeatNow) * 59;
                let (day, time) = day_and_time(moment.utc.saturating_add(up), moment.offset_seconds);
                format!("  {day} {time} {}", words::moment(speech, section))
            });
            let _ = writeln!(text, "\n  {} ({}){time}", visible(&entry.label), visible(&entry.group_name));
            let _ = writeln!(text, "    {}\n    {}", entry.headline, visible(&entry.sentence));
            if let Some(weight) = &entry.weight {
                let _ = writeln!(text, "    ! {weight}");
            }
            if let Some(warning) = &entry.warning {
                let _ = writeln!(text, "    ! {warning}");
            }
            if let (Some(passed), Some(moment)) = (entry.passed(), entry.moment)
                && now >= moment.utc
            {
                let _ = writeln!(text, "    {}", speech.say(passed));
            }
            let mut notes: Vec<String> = entry.notes.iter().map(|note| visible(note)).collect();
            if !entry.as_of.is_empty() {
                let ago = entry.as_of_at.map_or(String::new(), |at| format!(" ({})", words::ago(speech, now, at.utc)));
                notes.push(format!("{}{ago}", entry.as_of));
            }
            notes.extend(entry.read.clone());
            if !notes.is_empty() {
                let _ = writeln!(text, "    {}", speech.listed(&notes));
            }
        }
    }
    if board.is_empty() {
        let _ = writeln!(text, "\n{}", speech.say(P::Empty));
    }
    if board.others() > 0 {
        let _ = writeln!(text, "\n{}", words::counted(speech, P::Others, board.others()));
    }
    let _ = writeln!(text, "\n{}", speech.caution());
    text
}
