//! Public keys with their names.

use super::reader::Source;
use super::to_hex;
use holdoff_core::log::DeviceId;
use holdoff_core::seal::PublicKey;
use holdoff_files::problem::{Problem, is_invisible};
use holdoff_files::toml_file::quoted;
use std::fmt::Write;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Most characters of a key's name.
const MOST_NAME: usize = 40;

/// A public key as a key file gives it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NamedKey {
    /// What a proof calls it; free of control characters.
    pub name: String,
    /// The device it counts for; `None` for any.
    pub device: Option<DeviceId>,
    /// The key.
    pub public: PublicKey,
    /// When and by whom it was taken from its logger; `None` where nobody says so.
    pub enrolled: Option<Enrolled>,
}

/// When and by whom a key was taken from its logger.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Enrolled {
    /// Who did it; as a key's name is.
    pub by: String,
    /// When, RFC 3339 with the offset of local time, by the clock of the PC.
    pub at: String,
}

/// The keys that a proof is held against. No key stands in it twice.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Ring {
    keys: Vec<NamedKey>,
}

impl NamedKey {
    /// Checks a name.
    pub fn is_name(name: &str) -> bool {
        let count = name.chars().count();
        (1..=MOST_NAME).contains(&count) && name.trim() == name && !name.chars().any(is_invisible)
    }

    /// The key as its part of a public key file.
    pub fn to_toml(&self) -> String {
        let mut text = String::from("[[key]]\n");
        let _ = writeln!(text, "name = {}", quoted(&self.name));
        if let Some(device) = self.device {
            let _ = writeln!(text, "device = \"{}\"", to_hex(&device.0));
        }
        let _ = writeln!(text, "public = \"{}\"", to_hex(self.public.bytes()));
        if let Some(Enrolled { by, at }) = &self.enrolled {
            let _ = writeln!(text, "enrolled = {}\nby = {}", quoted(at), quoted(by));
        }
        text
    }
}

impl Ring {
    /// Reads the text of a public key file.
    ///
    /// # Errors
    /// [`Problem`] for a mistake in the file, a key that is no usable one, the same key for two devices, or no key at all.
    pub fn parse(file: &str, text: &str) -> Result<Self, Problem> {
        let source = Source { file, text };
        let table = source.table()?;
        if let Some(secret) = table.get("secret") {
            let remedy = "name the public.key beside it; nobody but its logger needs a secret key";
            return Err(source.problem(secret.span(), "this is a secret key file", remedy));
        }
        source.only(&table, &["key"])?;
        let none = || Problem::unusable(file, "there is no key in it", "add a [[key]] with name and public");
        let entries = table.get("key").ok_or_else(none)?;
        let DeValue::Array(entries) = entries.get_ref() else {
            return Err(source.problem(entries.span(), "key is not a list", "write it as [[key]]"));
        };
        let mut ring = Self { keys: Vec::new() };
        for entry in entries.iter() {
            let DeValue::Table(table) = entry.get_ref() else {
                return Err(source.problem(entry.span(), "key is not a table", "write it as [[key]]"));
            };
            ring.add(&source, key_of(&source, table, entry.span())?, entry)?;
        }
        if ring.keys.is_empty() { Err(none()) } else { Ok(ring) }
    }

    /// A ring of one key.
    pub fn of(key: NamedKey) -> Self {
        Self { keys: vec![key] }
    }

    /// The keys in the order of the file.
    pub fn keys(&self) -> &[NamedKey] {
        &self.keys
    }

    /// Adds a key; the same again is passed over.
    fn add(&mut self, source: &Source<'_>, key: NamedKey, entry: &Spanned<DeValue<'_>>) -> Result<(), Problem> {
        match self.keys.iter().find(|other| other.public == key.public) {
            None => self.keys.push(key),
            Some(other) if other.device == key.device => {}
            Some(_) => {
                let what = "the same key stands here for two devices";
                return Err(source.problem(
                    entry.span(),
                    what,
                    "keep the one that is right; every logger has its own key",
                ));
            }
        }
        Ok(())
    }
}

fn key_of<'a>(source: &Source<'a>, table: &DeTable<'a>, span: Range<usize>) -> Result<NamedKey, Problem> {
    source.only(table, &["name", "device", "public", "enrolled", "by"])?;
    let missing = |what: &str| source.problem(span.clone(), &format!("{what} is missing"), "add it");
    let (name, place) = source.text(table, "name")?.ok_or_else(|| missing("name"))?;
    if !NamedKey::is_name(&name) {
        let remedy = "give 1 to 40 characters, without blanks at the ends";
        return Err(source.problem(place, "this is no name for a key", remedy));
    }
    let device = source.bytes(table, "device")?.map(DeviceId);
    let public = source.bytes(table, "public")?.ok_or_else(|| missing("public"))?;
    let public = PublicKey::from_bytes(public);
    if !super::verify::is_usable(&public) {
        let remedy = "copy it whole from the public.key of the logger";
        return Err(source.problem(span, "public is no usable Ed25519 key", remedy));
    }
    let enrolled = match (source.text(table, "by")?, source.text(table, "enrolled")?) {
        (None, None) => None,
        (Some((by, place)), Some((at, when))) => {
            if !NamedKey::is_name(&by) {
                let remedy = "give 1 to 40 characters, without blanks at the ends";
                return Err(source.problem(place, "this is no name of a person", remedy));
            }
            if holdoff_files::stamp::Stamp::parse(&at).is_err() {
                return Err(source.problem(when, "this is no time", "write it as 2026-12-01T10:00:00+01:00"));
            }
            Some(Enrolled { by, at })
        }
        (Some(_), None) | (None, Some(_)) => return Err(missing("one of enrolled and by")),
    };
    Ok(NamedKey { name, device, public, enrolled })
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{Enrolled, NamedKey, Ring};
    use holdoff_core::log::DeviceId;
    use holdoff_core::seal::PublicKey;

    /// RFC 8032, section 7.1, TEST 1 and TEST 2.
    const ONE: &str = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a";
    const TWO: &str = "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c";

    fn key(public: &str) -> PublicKey {
        PublicKey::from_bytes(super::super::from_hex(public).expect("hex"))
    }

    #[test]
    fn files_written_one_after_another_are_one_ring() {
        let one = NamedKey {
            name: "quay \"7\" \\ a".into(),
            device: Some(DeviceId([1; 8])),
            public: key(ONE),
            enrolled: None,
        };
        let enrolled = Enrolled { by: "the foreman".into(), at: "2026-12-01T10:00:00+01:00".into() };
        let two = NamedKey { name: "any".into(), device: None, public: key(TWO), enrolled: Some(enrolled) };
        let text = format!("# site\n{}\n{}{}", one.to_toml(), two.to_toml(), one.to_toml());
        assert_eq!(Ring::parse("site.keys", &text).map(|ring| ring.keys), Ok(vec![one, two]));
    }

    #[test]
    fn a_wrong_file_is_refused_with_its_place_and_without_its_content() {
        let cases = [
            ("", "there is no key"),
            ("[secret]\nseed = \"5eed\"\n", "2:1|1:1|secret key file"),
            ("[[key]]\nname = \"5eed\n", "mistake in the TOML"),
            ("[[key]]\nname = \"a\"\npublic = \"5eed\"\n", "32 bytes in 64 hexadecimal digits"),
            ("[[key]]\nname = \"a\"\n", "public is missing"),
            ("[[key]]\nname = \" 5eed\"\npublic = \"\"\n", "no name"),
            ("[[key]]\nname = \"a\\u001b\"\npublic = \"\"\n", "no name"),
            ("[[key]]\n5eed = 1\n", "unknown key"),
            ("key = 5\n", "not a list"),
            ("key = [5]\n", "not a table"),
            ("[[key]]\nname = 5\n", "not a text"),
        ];
        for (text, expected) in cases {
            let problem = Ring::parse("site.keys", text).expect_err(text).to_string();
            assert!(expected.split('|').any(|expected| problem.contains(expected)), "{problem}");
            assert!(problem.starts_with("site.keys:") && !problem.contains("5eed"), "{problem}");
        }
    }

    #[test]
    fn a_key_for_two_devices_and_a_weak_key_are_refused() {
        let mut one = NamedKey { name: "a".into(), device: Some(DeviceId([1; 8])), public: key(ONE), enrolled: None };
        let mut text = one.to_toml();
        one.device = None;
        text.push_str(&one.to_toml());
        assert!(Ring::parse("k", &text).expect_err("two").to_string().contains("two devices"));
        // the neutral element, of order one: anything verifies under it for a lax verifier
        let mut neutral = [0; 32];
        neutral[0] = 1;
        one.public = PublicKey::from_bytes(neutral);
        assert!(Ring::parse("k", &one.to_toml()).expect_err("weak").to_string().contains("no usable"));
    }
}
