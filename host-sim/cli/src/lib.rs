//! What the `holdoff` program is made of: arguments, files, the link, the server.

pub mod command;
#[cfg(feature = "link")]
pub mod link;
#[cfg(feature = "register")]
pub mod page;
#[cfg(not(feature = "pictures"))]
#[path = "no_picture.rs"]
pub mod picture;
#[cfg(feature = "pictures")]
pub mod picture;
