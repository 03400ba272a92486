//! The columns of every table of an export, as `docs/register.md` documents them.
//!
//! Terms: of a time there are two columns: `NAME_s`, seconds of the logger's own clock, and `NAME`, the wall clock's, which
//! is empty where that was never set.

/// A column.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Column {
    /// Its name.
    pub(crate) name: &'static str,
    /// What stands in it.
    pub(crate) kind: Kind,
    /// Where it comes from, in the words of the query.
    pub(super) from: &'static str,
}

/// What stands in a column.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Kind {
    /// Text; of bytes, their hexadecimal digits.
    Text,
    /// A whole number.
    Whole,
    /// Yes or no.
    Yes,
    /// Seconds since 1970-01-01T00:00:00Z.
    Time,
    /// Hundredths of N·m, told in N·m.
    Hundredths,
    /// Counts of 1/256 °C, told in °C.
    Counts,
    /// Bits of grounds, told as their short words with commas between.
    Grounds,
}

const fn column(name: &'static str, kind: Kind, from: &'static str) -> Column {
    Column { name, kind, from }
}

/// The table `image`.
pub(super) const IMAGE: &[Column] = &[
    column("sha256", Kind::Text, "sha256"),
    column("device", Kind::Text, "device"),
    column("life", Kind::Whole, "life"),
    column("size_bytes", Kind::Whole, "size"),
    column("newest_page", Kind::Whole, "newest_page"),
    column("newest_items", Kind::Whole, "newest_items"),
    column("source", Kind::Text, "source"),
    column("taken_in", Kind::Time, "taken_in"),
    column("findings", Kind::Text, "findings"),
];

/// An instant of a session by the tie that was in force then (`register/schema.rs`), with that tie's offset.
macro_rules! labelled {
    ($instant:literal) => {
        concat!(
            "(SELECT (",
            $instant,
            " + hold.ahead) || ' ' || hold.offset_seconds FROM hold WHERE hold.session = session.id AND hold.from_s <= ",
            $instant,
            " ORDER BY hold.place DESC LIMIT 1)"
        )
    };
}

/// The table `session`.
pub(super) const SESSION: &[Column] = &[
    column("device", Kind::Text, "session.device"),
    column("life", Kind::Whole, "session.life"),
    column("first_page", Kind::Whole, "first_page"),
    column("end_page", Kind::Whole, "end_page"),
    column("end_items", Kind::Whole, "end_items"),
    column("image_sha256", Kind::Text, "image.sha256"),
    column("group_name", Kind::Text, "grouped"),
    column("job_sha256", Kind::Text, "job"),
    column("resin", Kind::Text, "resin"),
    column("resin_sha256", Kind::Text, "resin_file"),
    column("demo", Kind::Yes, "demo"),
    column("rule", Kind::Text, "rule"),
    column("laxer", Kind::Text, "laxer"),
    column("readings", Kind::Whole, "readings"),
    column("lost", Kind::Whole, "lost"),
    column("untrusted", Kind::Text, "untrusted"),
    column("of_trace", Kind::Yes, "of_trace"),
    column("failed", Kind::Text, "failed"),
    column("cover", Kind::Text, "cover"),
    column("began_s", Kind::Whole, "began"),
    column("began", Kind::Time, labelled!("began")),
    column("as_of_s", Kind::Whole, "as_of"),
    column("as_of", Kind::Time, labelled!("as_of")),
    column("read_out_at", Kind::Time, "(SELECT at FROM read_out WHERE read_out.device = session.device)"),
    column("clock_ahead_s", Kind::Whole, "(SELECT ahead FROM read_out WHERE read_out.device = session.device)"),
];

/// The table `fixing`.
pub(super) const FIXING: &[Column] = &[
    column("device", Kind::Text, "device"),
    column("life", Kind::Whole, "life"),
    column("first_page", Kind::Whole, "first_page"),
    column("number", Kind::Whole, "number"),
    column("label", Kind::Text, "label"),
    column("group_name", Kind::Text, "grouped"),
    column("stage", Kind::Text, "stage"),
    column("since_s", Kind::Whole, "since"),
    column("since", Kind::Time, labelled!("since")),
    column("reasons", Kind::Grounds, "grounds"),
    column("hole", Kind::Text, "hole"),
    column("torque_least_nm", Kind::Hundredths, "torque_least"),
    column("torque_greatest_nm", Kind::Hundredths, "torque_greatest"),
    column("torque_nm", Kind::Hundredths, "torque"),
    column("injected_at_s", Kind::Whole, "injected_at"),
    column("injected_at", Kind::Time, labelled!("injected_at")),
    column("seated_at_s", Kind::Whole, "seated_at"),
    column("seated_at", Kind::Time, labelled!("seated_at")),
    column("seat_by_s", Kind::Whole, "seat_by"),
    column("seat_by", Kind::Time, labelled!("seat_by")),
    column("cured_at_s", Kind::Whole, "cured_at"),
    column("cured_at", Kind::Time, labelled!("cured_at")),
    column("announced_at_s", Kind::Whole, "announced_at"),
    column("announced_at", Kind::Time, labelled!("announced_at")),
    column("required_s", Kind::Whole, "required"),
    column("served_s", Kind::Whole, "served"),
    column("counted_s", Kind::Whole, "counted"),
    column("held_s", Kind::Whole, "held"),
    column("unobserved_s", Kind::Whole, "unobserved"),
    column("coldest_c", Kind::Counts, "coldest"),
    column("outside_at_seating", Kind::Counts, "outside_at_seating"),
    column("batch", Kind::Text, "batch"),
    column("verdict", Kind::Text, "verdict"),
    column("why", Kind::Text, "why"),
];

/// The table `release`.
pub(super) const RELEASE: &[Column] = &[
    column("device", Kind::Text, "release.device"),
    column("number", Kind::Whole, "number"),
    column("label", Kind::Text, "label"),
    column("life", Kind::Whole, "session.life"),
    column("first_page", Kind::Whole, "session.first_page"),
    column("job_sha256_12", Kind::Text, "substr(release.job, 1, 24)"),
    column("demo", Kind::Yes, "release.demo"),
    column("seated_at_s", Kind::Whole, "seated"),
    column("seated_at", Kind::Time, "seated + release.ahead"),
    column("cured_at_s", Kind::Whole, "cured"),
    column("cured_at", Kind::Time, "cured + release.ahead"),
    column("speaks_for_s", Kind::Whole, "speaks_for"),
    column("speaks_for", Kind::Time, "speaks_for + release.ahead"),
    column("torque_least_nm", Kind::Hundredths, "torque_least"),
    column("torque_greatest_nm", Kind::Hundredths, "torque_greatest"),
    column("torque_nm", Kind::Hundredths, "torque"),
    column("in_memory", Kind::Yes, "in_memory"),
    column("source", Kind::Text, "source"),
    column("taken_in", Kind::Time, "taken_in"),
    column("verdict", Kind::Text, "verdict"),
    column("why", Kind::Text, "why"),
    column("contradicted", Kind::Text, "contradicted"),
    column("replaced", Kind::Yes, "replaced"),
    column("short", Kind::Text, "short"),
    column("code", Kind::Text, "code"),
];

/// The table `contradiction`.
pub(super) const CONTRADICTION: &[Column] = &[
    column("device", Kind::Text, "contradiction.device"),
    column("life", Kind::Whole, "ifnull(contradiction.life, session.life)"),
    column("first_page", Kind::Whole, "session.first_page"),
    column("number", Kind::Whole, "number"),
    column("from_page", Kind::Whole, "from_page"),
    column("from_item", Kind::Whole, "from_item"),
    column("conflict", Kind::Text, "conflict"),
    column("settled_at", Kind::Time, "settled_at"),
    column("settled_by", Kind::Text, "settled_by"),
    column("because", Kind::Text, "because"),
];

/// The table `decision`.
pub(super) const DECISION: &[Column] = &[
    column("sha256", Kind::Text, "sha256"),
    column("device", Kind::Text, "decision.device"),
    column("life", Kind::Whole, "session.life"),
    column("first_page", Kind::Whole, "session.first_page"),
    column("number", Kind::Whole, "number"),
    column("label", Kind::Text, "label"),
    column("reasons", Kind::Grounds, "grounds"),
    column("decision", Kind::Text, "decision"),
    column("because", Kind::Text, "reason"),
    column("document", Kind::Text, "document"),
    column("engineer", Kind::Text, "engineer"),
    column("public", Kind::Text, "public"),
    column("decided_at", Kind::Text, "decided_at"),
    column("job_sha256", Kind::Text, "decision.job"),
    column("source", Kind::Text, "decision.source"),
    column("taken_in", Kind::Time, "decision.taken_in"),
    column("contradicted", Kind::Text, "contradicted"),
];

/// The table `reading`.
pub(super) const READING: &[Column] = &[
    column("device", Kind::Text, ""),
    column("life", Kind::Whole, ""),
    column("first_page", Kind::Whole, ""),
    column("read_at_s", Kind::Whole, ""),
    column("read_at", Kind::Time, ""),
    column("count", Kind::Whole, ""),
    column("celsius", Kind::Counts, ""),
    column("became", Kind::Text, ""),
    column("cause", Kind::Text, ""),
];
