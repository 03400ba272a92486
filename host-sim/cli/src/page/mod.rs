//! The foreman's page over HTTP: who may look, what changed since, doors that stand open.
//!
//! What for: `holdoff board`. What the page shows and says is drawn by [`holdoff_present::page`].
//! Invariants: nothing here changes a record; whoever has no token gets nothing where one is asked for.

mod doors;
mod guard;
mod server;
mod watch;

pub use guard::{Guard, Token, TokenError};
pub use server::serve;
pub use watch::{Live, watch};
