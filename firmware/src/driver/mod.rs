//! Drivers of the parts on the two-wire bus and of the display, over `embedded-hal` traits.
//!
//! What for: the same drivers run on every board, and a fake bus that models the parts tests what no emulator shows: a part
//! page that wraps, a write cycle, a byte that is not acknowledged, a bus held down.
//! Invariants: every wait is bounded; an answer that cannot be true is refused, not passed on; nothing keeps a value to
//! show it again.
//! What they do not do: decide what a failure means. The run loop does.

pub mod clock;
pub mod memory;
pub mod oled;
pub mod probe;
pub mod wires;
