//! What is amiss with a log: codes with their fields.
//!
//! Why codes: a register keeps them and scripts read them, in whatever language a person is told. The words are made from
//! them by `holdoff_present::words`, and nothing is ever read back out of a sentence.

use holdoff_core::log::{Amiss, PageError, Trust, Why};
use serde::{Deserialize, Serialize};

/// Something amiss with a slot, a page, or a session of an image.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(tag = "code", rename_all = "kebab-case")]
pub enum Finding {
    /// The slot was never written.
    SlotBlank {
        /// The slot.
        slot: u32,
    },
    /// The slot holds a page that is damaged, or was cut while it was written.
    SlotDamaged {
        /// The slot.
        slot: u32,
    },
    /// The slot holds a page of another version of the format.
    SlotVersion {
        /// The slot.
        slot: u32,
        /// The version.
        found: u8,
    },
    /// The slot holds a page whose header cannot be.
    SlotHeader {
        /// The slot.
        slot: u32,
    },
    /// The slot holds a page that does not belong there.
    SlotMisplaced {
        /// The slot.
        slot: u32,
        /// The page.
        page: u32,
    },
    /// A page of a session is missing or damaged.
    PageLost {
        /// The slot.
        slot: u32,
        /// The page.
        page: u32,
    },
    /// A page was not written by the logger: only the logger itself can find that.
    PageForeign {
        /// The slot.
        slot: u32,
        /// The page.
        page: u32,
    },
    /// What stands behind the image is no word of the logger's for its end.
    AnswerFails,
    /// A page does not follow from the page before it.
    PageUnlinked {
        /// The slot.
        slot: u32,
        /// The page.
        page: u32,
    },
    /// The items of a page cannot all be read.
    PageItems {
        /// The slot.
        slot: u32,
        /// The page.
        page: u32,
    },
    /// The engine makes something else of an item than is recorded.
    PageEvidence {
        /// The slot.
        slot: u32,
        /// The page.
        page: u32,
        /// Place of the item in it.
        item: u16,
    },
    /// A session has been overwritten in part.
    PartOverwritten {
        /// Its first page.
        page: u32,
    },
}

impl From<holdoff_core::log::Finding> for Finding {
    fn from(found: holdoff_core::log::Finding) -> Self {
        let slot = found.slot;
        match found.what {
            Amiss::NoPage(PageError::Blank) => Self::SlotBlank { slot },
            Amiss::NoPage(PageError::Damaged) => Self::SlotDamaged { slot },
            Amiss::NoPage(PageError::Version { found }) => Self::SlotVersion { slot, found },
            Amiss::NoPage(PageError::Header) => Self::SlotHeader { slot },
            Amiss::Misplaced { number } => Self::SlotMisplaced { slot, page: number },
            Amiss::Lost { number } => Self::PageLost { slot, page: number },
            Amiss::Foreign { number } => Self::PageForeign { slot, page: number },
            Amiss::Unlinked { number } => Self::PageUnlinked { slot, page: number },
            Amiss::Items { number, .. } => Self::PageItems { slot, page: number },
            Amiss::Evidence { number, item } => Self::PageEvidence { slot, page: number, item },
        }
    }
}

/// Why a log cannot be trusted.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(tag = "code", rename_all = "kebab-case")]
pub enum Untrusted {
    /// A page of the session is missing or damaged.
    PageLost {
        /// The page.
        page: u32,
    },
    /// A page was not written by the logger: only the logger itself can find that.
    PageForeign {
        /// The page.
        page: u32,
    },
    /// A page does not follow from the page before it.
    PageUnlinked {
        /// The page.
        page: u32,
    },
    /// The items of a page cannot all be read.
    PageItems {
        /// The page.
        page: u32,
    },
    /// The engine makes something else of an item than is recorded.
    PageEvidence {
        /// The page.
        page: u32,
        /// Place of the item in it.
        item: u16,
    },
    /// Pages are missing behind the newest one.
    TailMissing,
    /// The log itself records it.
    Recorded,
    /// The session's beginning is missing.
    NoBeginning,
}

impl Untrusted {
    /// Why the log of a replayed session cannot be trusted; `None` where it can.
    pub const fn of(trust: Trust) -> Option<Self> {
        let why = match trust {
            Trust::Trusted => return None,
            Trust::Untrusted(why) => why,
        };
        Some(match why {
            Why::PageLost { number } => Self::PageLost { page: number },
            Why::Foreign { number } => Self::PageForeign { page: number },
            Why::Unlinked { number } => Self::PageUnlinked { page: number },
            Why::Items { number, .. } => Self::PageItems { page: number },
            Why::Evidence { number, item } => Self::PageEvidence { page: number, item },
            Why::Tail => Self::TailMissing,
            Why::Recorded => Self::Recorded,
        })
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{Finding, Untrusted};

    #[test]
    fn what_is_amiss_is_kept_as_a_code_with_its_fields() {
        let found = Finding::PageEvidence { slot: 3, page: 4, item: 5 };
        let text = serde_json::to_string(&found).expect("JSON");
        assert_eq!(text, r#"{"code":"page-evidence","slot":3,"page":4,"item":5}"#);
        assert_eq!(serde_json::from_str::<Finding>(&text).expect("read back"), found);
        let text = serde_json::to_string(&Untrusted::TailMissing).expect("JSON");
        assert_eq!(text, r#"{"code":"tail-missing"}"#);
        assert_eq!(serde_json::from_str::<Untrusted>(&text).expect("read back"), Untrusted::TailMissing);
    }
}
