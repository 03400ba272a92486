//! An inspector who knows the page alone, and the site that the pages are about.

pub(crate) mod inspector;
pub(crate) mod site;
