//! What the `holdoff` program is made of: arguments, files, the link, the server.

pub mod command;
pub mod link;
pub mod page;
pub mod picture;
