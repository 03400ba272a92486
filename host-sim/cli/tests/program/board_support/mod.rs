//! An invented harbour for the tests of the page, and a real browser to look at it.

pub(crate) mod browser;
pub(crate) mod harbour;
pub(crate) mod loaded;
