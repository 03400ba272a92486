//! Keys: the secret one that a logger signs with, and the public ones that a proof is held against.
//!
//! What for: what `holdoff keys` made, `holdoff replay --image --key` signs with and `holdoff prove --keys` holds releases against.
//!
//! Both files are TOML. A *public key file* holds any number of keys, so several may be written one after another into
//! one file (`cat a/public.key b/public.key > site.keys`):
//!
//! ```toml
//! [[key]]
//! name = "harbour 7"                    # shown in proofs; up to 40 characters
//! device = "0123456789abcdef"           # optional: the key only counts for releases of this device
//! public = "d75a98…511a"                # 32 bytes of RFC 8032 in 64 hexadecimal digits
//! enrolled = "2026-12-01T10:00:00+01:00"  # optional: when it was taken from its logger,
//! by = "the foreman"                    # and by whom
//! ```
//!
//! A *secret key file* holds one:
//!
//! ```toml
//! [secret]
//! device = "0123456789abcdef"
//! seed = "9d61…7f60"                    # 32 random bytes
//! ```
//!
//! Invariants: the content of a secret key file is never
//! printed, neither in a result nor in a message about what is wrong with it. That is why no message of this room quotes
//! what stands in a key file.
//! What it does not do: open or make files, encrypt secret keys, revoke keys, or say whom a key belongs to.

mod reader;
mod ring;
mod secret;
pub mod verify;

pub use holdoff_files::hex::{from_hex, to_hex};
pub use reader::text_from;
pub use ring::{Enrolled, NamedKey, Ring};
pub use secret::SecretFile;
