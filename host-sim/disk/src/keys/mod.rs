//! Key files on the disk: made, added to, guarded.
//!
//! What for: `holdoff keys` and `holdoff link PORT enrol`; what stands in the files is read by [`holdoff_evidence::keys`].
//! Invariants: a secret key file comes into being with owner-only rights and is never overwritten; its content is never printed.
//! What it does not do: encrypt secret keys, revoke keys, or say whom a key belongs to.

mod enrol;
mod make;
mod secret;

pub use enrol::{Entry, enrol};
pub use make::{Made, PUBLIC_FILE, SECRET_FILE, make};
pub use secret::exposed;
