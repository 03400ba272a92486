//! The link between PC and logger, without a board: over sockets and pseudo terminals, to the logger's own code.

mod link_beyond;
mod link_client;
mod link_frame;
mod link_session;
mod link_swap;
mod one_time;
mod register_link;
