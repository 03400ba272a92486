//! What the `holdoff` program is made of: capabilities without printing.
