//! A decision's values, read and checked.

use super::{MOST_TEXT, Said, Signed, WORDS};
use crate::hex::from_hex;
use crate::problem::{Problem, is_invisible, shown};
use crate::stamp::Stamp;
use crate::toml_file::{At, Findings, Need, Table, document};
use holdoff_core::fixing::{Ground, Grounds};
use holdoff_core::log::DeviceId;
use holdoff_core::seal::PublicKey;

impl Said {
    /// Checks a text that is to stand in a decision.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn check_text(key: &str, text: &str) -> Result<(), String> {
        if text.trim().is_empty() || text.trim() != text || text.chars().any(is_invisible) {
            return Err(format!(
                "{key} {} is empty, or has blanks around it or characters that can't be seen",
                shown(text.as_bytes())
            ));
        }
        if text.chars().count() > MOST_TEXT {
            return Err(format!("{key} is longer than {MOST_TEXT} characters"));
        }
        Ok(())
    }
}

impl Signed {
    /// Reads the text of a decision file that messages call `file`.
    ///
    /// # Errors
    /// Everything that is wrong with it in one [`Problem`]. Whether the signature holds is not looked at.
    pub fn parse(file: &str, text: &str) -> Result<Self, Problem> {
        let mut findings = Findings::new(file, text);
        let signed = signed(text, &mut findings);
        match signed {
            Some(signed) if !findings.any_error() => Ok(signed),
            Some(_) | None => Err(findings.sorted().into_problem()),
        }
    }
}

fn signed(text: &str, findings: &mut Findings) -> Option<Signed> {
    let document = document(text, findings)?;
    let root = Table::new(document.get_ref(), 0..0, "the file", example);
    root.only(&["decision"], findings);
    let table = root.table("decision", "[decision]", findings)?;
    table.only(
        &["fixing", "device", "grounds", "decision", "reason", "document", "name", "at", "public", "signature"],
        findings,
    );
    let fixing = plain(&table, "fixing", findings);
    let device = bytes::<8>(&table, "device", findings);
    let grounds = grounds(&table, findings);
    let decision = table.word("decision", Need::Required, &WORDS, findings);
    let reason = plain(&table, "reason", findings);
    let document = plain(&table, "document", findings);
    let name = plain(&table, "name", findings);
    let at = at(&table, findings);
    let public = bytes::<32>(&table, "public", findings);
    let signature = bytes::<64>(&table, "signature", findings);
    Some(Signed {
        said: Said {
            fixing: fixing?,
            device: DeviceId(device?),
            grounds: grounds?,
            decision: decision?.value,
            reason: reason?,
            document: document?,
            name: name?,
            at: at?,
        },
        public: PublicKey::from_bytes(public?),
        signature: signature?,
    })
}

fn plain(table: &Table<'_, '_>, key: &'static str, findings: &mut Findings) -> Option<String> {
    let At { value, span } = table.plain_text(key, Need::Required, findings)?;
    match Said::check_text(key, &value) {
        Ok(()) => Some(value),
        Err(what) => {
            findings.error(span, what, "ask the engineer for a decision that is written shorter");
            None
        }
    }
}

fn bytes<const N: usize>(table: &Table<'_, '_>, key: &'static str, findings: &mut Findings) -> Option<[u8; N]> {
    let text = table.text(key, Need::Required, findings)?;
    let found = from_hex::<N>(&text.value);
    if found.is_none() {
        let what = format!("{key} is not {N} bytes in {} hexadecimal digits", 2 * N);
        findings.error(text.span, what, "ask the engineer for the file as `holdoff decide sign` wrote it");
    }
    found
}

fn grounds(table: &Table<'_, '_>, findings: &mut Findings) -> Option<Grounds> {
    if !table.has("grounds") {
        findings.error(table.span.clone(), "grounds is missing", format!("add {}", example("grounds")));
        return None;
    }
    let list = table.texts("grounds", findings)?;
    let mut grounds = Grounds::NONE;
    for word in &list.value {
        let ground = Ground::ALL.into_iter().find(|ground| ground.word() == word.value);
        match ground {
            Some(ground) if !grounds.has(ground) => grounds = grounds.with(ground),
            Some(_) | None => {
                let what = format!("grounds names {}, which is no ground, or twice", shown(word.value.as_bytes()));
                let known: Vec<&str> = Ground::ALL.into_iter().map(Ground::word).collect();
                findings.error(word.span.clone(), what, format!("write each once, out of {}", known.join(", ")));
                return None;
            }
        }
    }
    if grounds.is_empty() {
        findings.error(list.span, "grounds is empty", "name every ground of the rejection");
        return None;
    }
    Some(grounds)
}

fn at(table: &Table<'_, '_>, findings: &mut Findings) -> Option<String> {
    let text = table.text("at", Need::Required, findings)?;
    match Stamp::parse(&text.value) {
        Ok(_) => Some(text.value),
        Err(error) => {
            findings.error(text.span, format!("at {} {error}", shown(text.value.as_bytes())), error.remedy());
            None
        }
    }
}

/// How the value of a key is written.
fn example(key: &str) -> String {
    let value = match key {
        "decision" => "\"accept-as-is\"",
        "device" => "\"0123456789abcdef\"",
        "grounds" => "[\"seated-late\"]",
        "at" => "\"2026-12-01T10:00:00+01:00\"",
        "public" | "signature" => "\"hexadecimal digits\"",
        _ => "\"text\"",
    };
    format!("{key} = {value}")
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::super::Signed;

    fn good() -> String {
        let (public, signature) = ("ab".repeat(32), "cd".repeat(64));
        format!(
            "[decision]\nfixing = \"B3-2 \\\"west\\\"\"\ndevice = \"0123456789abcdef\"\ngrounds = [\"seated-late\", \"over-torque\"]\n\
             decision = \"accept-as-is\"\nreason = \"load is \\\\ small\"\ndocument = \"D-17\"\nname = \"E. Invented\"\n\
             at = \"2026-12-01T10:00:00+01:00\"\npublic = \"{public}\"\nsignature = \"{signature}\"\n"
        )
    }

    #[test]
    fn a_decision_reads_back_as_it_is_written() {
        let read = Signed::parse("d.toml", &good()).unwrap();
        assert_eq!(read.to_toml(), good());
        assert_eq!(Signed::parse("d.toml", &read.to_toml()).unwrap(), read);
    }

    #[test]
    fn every_value_changes_what_is_signed() {
        let digest = |text: &str| Signed::parse("d.toml", text).unwrap().said.digest();
        let whole = digest(&good());
        let changes = [
            ("B3-2", "B3-1"),
            ("0123456789", "0123456780"),
            (", \"over-torque\"", ""),
            ("accept-as-is", "remove"),
            ("small", "smaller"),
            ("D-17", "D-18"),
            ("E. Invented", "F. Invented"),
            ("T10:00:00", "T10:00:01"),
        ];
        for (from, to) in changes {
            assert_ne!(digest(&good().replacen(from, to, 1)), whole, "{from}");
        }
        // a boundary between two texts is part of what is signed
        let moved = good().replace("small\"", "small D\"").replace("\"D-17\"", "\"-17\"");
        assert_ne!(digest(&moved), whole);
    }

    #[test]
    fn a_wrong_file_is_refused_with_its_place() {
        let cases = [
            (good().replace("[decision]\n", ""), "decision is"),
            (good().replace("reason", "because"), "unknown key"),
            (good().replace("fixing = \"B3-2 \\\"west\\\"\"\n", ""), "fixing is missing"),
            (good().replace("0123456789abcdef", "0123"), "3:10: device is not 8 bytes"),
            (good().replace("\"over-torque\"", "\"too-late\""), "4:27: grounds names \"too-late\""),
            (good().replace("\"over-torque\"", "\"seated-late\""), "or twice"),
            (good().replace("\"seated-late\", \"over-torque\"", ""), "grounds is empty"),
            (good().replace("accept-as-is", "load it"), "5:12: decision is \"load it\""),
            (good().replace("D-17", " D-17"), "blanks around it"),
            (good().replace("D-17", &"d".repeat(1001)), "longer than 1000"),
            (good().replace("+01:00", ""), "9:6: at"),
            (good().replace("cdcd", "cd"), "signature is not 64 bytes"),
        ];
        for (text, words) in cases {
            let problem = Signed::parse("d.toml", &text).unwrap_err().to_string();
            assert!(problem.contains(words), "{words}: {problem}");
        }
    }
}
