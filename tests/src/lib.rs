//! What the outside-world tests share.
