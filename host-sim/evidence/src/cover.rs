//! How far signatures of known keys bind a log.
//!
//! How: whatever signs a seal value binds every item before it, and through the links every page before that one. A
//! signature covers a session when no page is missing, or wrongly linked, from the session's beginning up to it.

use super::memory::{Held, LogPlace, PageSeen};
use serde::{Deserialize, Serialize};

/// How far a session is covered: the further, the greater.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default, Serialize, Deserialize)]
#[serde(tag = "code", rename_all = "kebab-case")]
pub enum Cover {
    /// No keys were given.
    #[default]
    NoKeys,
    /// Keys were given, and no signature of theirs covers any of it.
    Nothing,
    /// Everything before this place is covered.
    UpTo {
        /// The page.
        page: u32,
        /// The first item of it that is not covered.
        items: u16,
    },
}

impl Cover {
    /// Whether what stands at a place is covered.
    pub fn reaches(self, place: LogPlace) -> bool {
        match self {
            Self::NoKeys | Self::Nothing => false,
            Self::UpTo { page, items } => (place.page, place.item) < (page, items),
        }
    }

    /// How far a session that begins with page `first` is covered by what was bound anywhere in the log.
    pub(super) fn of(first: u32, binds: &[LogPlace], pages: &[PageSeen]) -> Self {
        let reaching = binds.iter().filter(|place| unbroken(first, place.page, pages));
        reaching.map(|place| Self::UpTo { page: place.page, items: place.item }).max().unwrap_or(Self::Nothing)
    }
}

/// What signatures bind.
pub(super) fn bound<'h>(held: impl Iterator<Item = &'h Held>) -> Vec<LogPlace> {
    held.filter_map(|held| match held {
        Held::Holds { binds, .. } => Some(*binds),
        Held::NoKeys | Held::Fails { .. } => None,
    })
    .collect()
}

/// Whether every page from one to another is there and follows from the one before it.
fn unbroken(from: u32, to: u32, pages: &[PageSeen]) -> bool {
    let run: Vec<&PageSeen> = pages.iter().filter(|page| (from..=to).contains(&page.number)).collect();
    let ends = run.first().is_some_and(|page| page.number == from) && run.last().is_some_and(|page| page.number == to);
    ends && run.windows(2).all(|pair| match pair {
        [page, next] => page.number.checked_add(1) == Some(next.number) && page.head.starts_with(&next.link),
        _ => true,
    })
}

#[cfg(test)]
mod tests {
    use super::{Cover, LogPlace, PageSeen};

    fn pages() -> Vec<PageSeen> {
        let link = |number: u8| [number; 12];
        (0..5u8)
            .map(|number| {
                let link = if number == 0 { [99; 12] } else { link(number - 1) };
                PageSeen { number: u32::from(number), items: 10, head: [number; 32], link }
            })
            .collect()
    }

    #[test]
    fn the_furthest_signature_counts_and_covers_what_stands_before_it() {
        let binds = [LogPlace { page: 3, item: 4 }, LogPlace { page: 1, item: 9 }];
        let cover = Cover::of(0, &binds, &pages());
        assert_eq!(cover, Cover::UpTo { page: 3, items: 4 });
        assert!(cover.reaches(LogPlace { page: 2, item: 400 }) && cover.reaches(LogPlace { page: 3, item: 3 }));
        assert!(!cover.reaches(LogPlace { page: 3, item: 4 }) && !cover.reaches(LogPlace { page: 4, item: 0 }));
        assert_eq!(Cover::of(0, &[], &pages()), Cover::Nothing);
    }

    #[test]
    fn a_signature_behind_a_missing_or_wrongly_linked_page_covers_nothing_before_it() {
        let binds = [LogPlace { page: 4, item: 1 }];
        let mut missing = pages();
        missing.remove(2);
        let mut other = pages();
        other[2].link = [7; 12];
        for pages in [missing, other] {
            assert_eq!(Cover::of(0, &binds, &pages), Cover::Nothing);
            assert_eq!(Cover::of(3, &binds, &pages), Cover::UpTo { page: 4, items: 1 });
        }
        assert_eq!(Cover::of(5, &binds, &pages()), Cover::Nothing, "a session behind the signature");
    }
}
