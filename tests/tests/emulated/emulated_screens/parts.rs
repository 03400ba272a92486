//! What the scenes begin with: invented resins, batches, and short words for long ones.

use super::scene::{START, wall};
use holdoff::link::BatchText;
use holdoff_core::fixing::{Ground, Grounds};
use holdoff_core::quantity::{Span, Torque};
use holdoff_files::resin_file::ResinFile;
use holdoff_firmware::view::{Answer, Forecast, Item, Items, Lacks, May, Page, Question, State, Wait};

/// From 10 °C on an hour to cure: 3600 s, and of 3601 counted seconds one is not credited.
pub(crate) const CURE: i64 = 3601;

/// Seconds that a probe takes to settle.
pub(crate) const SETTLE: i64 = 180;

/// An invented resin that is not marked as one, for the screens without the mark.
pub(crate) fn resin() -> ResinFile {
    let text = r#"
        name = "Quay slow (invented)"
        demo = false
        [substrate]
        install_least = 5.0
        install_greatest = 40.0
        cure_least = 5.0
        cure_greatest = 40.0
        reject_below = -10.0
        reject_above = 60.0
        longest_hold = "15min"
        [cartridge]
        least = 5.0
        greatest = 35.0
        [hole]
        allowed = ["dry", "wet"]
        wet_factor = 2
        [accrual]
        permitted = false
        [[band]]
        from = 5.0
        working = "20min"
        cure = "2h"
        [[band]]
        from = 10.0
        working = "12min"
        cure = "1h"
        [[band]]
        from = 20.0
        working = "5min"
        cure = "30min"
    "#;
    ResinFile::parse("invented.toml", text).expect("a resin")
}

pub(crate) const TORQUE: Option<(u32, u32)> = Some((3_800, 4_200));

pub(crate) fn batch(days: i64) -> Option<BatchText> {
    Some(BatchText { text: "L-2231 B".into(), use_by: Some(START - 27_000 + days * 86_400) })
}

pub(crate) fn only(ground: Ground) -> Grounds {
    Grounds::only(ground)
}

pub(crate) fn not(grounds: Grounds) -> State {
    State::NotInjected(May { grounds, lacks: Lacks::NONE })
}

pub(crate) fn curing(now: i64, ends: i64) -> Wait {
    Wait::Curing(Forecast { left: Span::from_seconds((ends - now) as u32), ends: Some(wall(ends)) })
}

pub(crate) fn items(all: &[Item]) -> Items {
    all.iter().fold(Items::NONE, |items, item| items.with(*item))
}

pub(crate) fn ask(question: Question) -> Page<'static> {
    Page::Question { question, answer: Answer::No }
}

pub(crate) fn newton_metres(hundredths: u32) -> Torque {
    Torque::from_hundredths(hundredths)
}
