//! What the logger tells whoever watches it on a bench: a line for everything that happens, over defmt.
//!
//! What for: to see in order what was measured, recorded and decided, without a stop of the board. The binary's board brings
//! the way out of it; the lines are decoded with the image (`tests/src/emulator/told.rs` does so).
//! Why a macro: without the feature `defmt`, [`tell!`] is nothing, and so is everything else here. What a line says stands
//! here, where it is told stands `tell!`.
//! Invariants: nothing is decided by what is told; no key, no seed, no signature and nothing that came over the link is told.
//! What it does not do: keep anything. What has to be kept is in the log (`holdoff_core::log`).

#[cfg(all(feature = "defmt", target_os = "none"))]
mod lines;

#[cfg(all(feature = "defmt", target_os = "none"))]
pub(crate) use lines::*;

/// Tells something, by one of the functions of this module.
#[cfg(all(feature = "defmt", target_os = "none"))]
macro_rules! tell {
    ($line:ident($($what:expr),*)) => {
        $crate::tell::$line($($what),*)
    };
}

/// Nothing is told, and nothing worked out for it.
#[cfg(not(all(feature = "defmt", target_os = "none")))]
macro_rules! tell {
    ($line:ident($($what:expr),*)) => {{
        if false {
            $(let _ = &$what;)*
        }
    }};
}

pub(crate) use tell;
