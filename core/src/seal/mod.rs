//! The seal: what a device vouches for when a fixing is released, and how that leaves the device.
//!
//! What for: a release has to convince somebody who was not there, years later, from a piece of paper or a picture. The
//! device writes down in 119 bytes at most what the release rests on, signs it, and shows it as a QR code and as a number
//! that can be read out over the phone. `docs/release-code.md` gives every byte, and what the signature proves and not.
//!
//! Terms: the *release record* is what is signed; *sealed* is the record with its signature; the *release code* is the
//! sealed record as text for a QR code; the *short form* is 24 digits that name a record; the *chain head* is the link of the log
//! where it stood, so that the signature holds for every reading before it.
//!
//! ```text
//!   Group ──> ReleaseRecord ──seal──> Sealed ──> release code ──> Symbol (QR, version 8)
//!                   ^   └──> ShortForm                │
//!                   └── Verified <──verify── SealedView <┘
//! ```
//!
//! Invariants: a record is made from a [`crate::group::Group`] only, and only of a fixing that is released, or cured where
//! no torque is specified; every release has a code of at most version 8; record and bytes belong to each other one to
//! one; nothing counts as verified that did not pass `SealedView::verify` or `HeadView::verify` (feature `verify`).
//! What it does not do: keep the log, read a clock or a random source, make keys, decide what may be loaded.

mod base45;
mod code;
mod codec;
mod counted;
mod decision;
mod ed25519;
mod field;
mod head;
mod identity;
mod key;
mod label;
mod layout;
mod qr;
mod record;
mod release;
mod said;
mod short;
mod signature;
mod wire;

pub use base45::{Base45Error, decode as base45_decode, encode as base45_encode, encoded_length as base45_length};
pub use code::{CodeBuffer, CodeError, MOST_CODE, PREFIX, ReleaseCode, read};
pub use counted::CountedSeconds;
pub use decision::{DECISION_CONTEXT, DECISION_MESSAGE, decision_message};
pub use field::{Field, RecordError, Unrecordable};
pub use head::{
    CHALLENGE, HEAD_CONTEXT, Head, HeadError, HeadView, MOST_HEAD_MESSAGE, MOST_SEALED_HEAD, SealedHead, answer,
    is_head_due, seal_due_head, seal_head,
};
pub use identity::{BatchHash, JobHash, KeyId, ResinHash};
pub use key::{KeyError, PublicKey, SecretKey, SignatureBytes};
pub use label::{Label, LabelError, MOST_LABEL};
pub use layout::MOST_RECORD;
pub use qr::{MODULES, QUIET, Strength, Symbol, SymbolBuffers, SymbolError};
pub use record::{Departure, End, Particulars, ReleaseRecord, WallClock};
pub use release::{NotSealed, Unlogged, seal_release};
pub use short::{SHORT_TEXT, ShortError, ShortForm};
pub use signature::{CONTEXT, MOST_MESSAGE, MOST_SEALED, SealError, Sealed, SealedView};
#[cfg(feature = "verify")]
pub use signature::{Verified, VerifyError};
