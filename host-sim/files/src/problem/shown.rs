//! Foreign text made safe and short enough to be shown.

/// Most characters of foreign text that are shown.
const MOST: usize = 40;

/// Text from a file in quotation marks: control characters and bytes that are no UTF-8 written as escapes, at most
/// about 40 characters, an ellipsis where it was cut.
pub fn shown(text: &[u8]) -> String {
    let mut made = String::from("\"");
    let mut taken = 0;
    for chunk in text.utf8_chunks() {
        for character in chunk.valid().chars() {
            if taken >= MOST {
                made.push_str("...\"");
                return made;
            }
            made.push_str(&visible(character.encode_utf8(&mut [0; 4])));
            taken += 1;
        }
        for byte in chunk.invalid() {
            made.push_str(&format!("\\x{byte:02x}"));
            taken += 1;
        }
    }
    made.push('"');
    made
}

/// A text in which some characters are written otherwise.
pub(crate) fn replaced(text: &str, is: impl Fn(char) -> bool, write: impl Fn(char, &mut String)) -> String {
    let mut made = String::with_capacity(text.len());
    text.chars().for_each(|character| if is(character) { write(character, &mut made) } else { made.push(character) });
    made
}

fn escape(character: char, made: &mut String) {
    made.extend(character.escape_unicode());
}

/// A file's name with control characters written as escapes; `-` as "standard input".
pub fn shown_file(name: &str) -> String {
    if name == "-" { "standard input".to_owned() } else { visible(name) }
}

/// Text from a file as it is; only control characters and others that steer a terminal are written as escapes.
pub fn visible(text: &str) -> String {
    replaced(text, is_invisible, escape)
}

/// A whole text, such as a page or what is printed, in which format characters are written as escapes: those that turn the
/// direction of writing round, or can't be seen. Control characters stay: a text has line ends, and colours of its own.
pub fn without_format(text: &str) -> String {
    replaced(text, is_format, escape)
}

/// The same for JSON, which means the same with them escaped.
pub fn json_without_format(text: &str) -> String {
    // all of them are below 10000
    replaced(text, is_format, |character, made| made.push_str(&format!("\\u{:04x}", u32::from(character))))
}

/// Whether a character steers the terminal, or changes how a text looks without being seen (format characters such as
/// those that turn the direction of writing round).
pub fn is_invisible(character: char) -> bool {
    character.is_control() || is_format(character)
}

fn is_format(character: char) -> bool {
    matches!(character,
        '\u{00AD}' | '\u{061C}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}')
}

#[cfg(test)]
mod tests {
    use super::{json_without_format, shown, shown_file, without_format};

    #[test]
    fn control_characters_and_foreign_bytes_are_written_visibly() {
        assert_eq!(shown(b"a\x1b[2Jb"), "\"a\\u{1b}[2Jb\"");
        assert_eq!(shown(b"5\xB0C\0"), "\"5\\xb0C\\u{0}\"");
        assert_eq!(shown("5°C".as_bytes()), "\"5°C\"");
        assert_eq!(shown_file("a\nb"), "a\\u{a}b");
        assert_eq!(shown_file("\u{202E}x"), "\\u{202e}x");
    }

    #[test]
    fn long_text_is_cut_and_says_so() {
        let text = shown("é".repeat(1000).as_bytes());
        assert_eq!(text, format!("\"{}...\"", "é".repeat(40)));
        assert_eq!(shown(&[b'x'; 40]), format!("\"{}\"", "x".repeat(40)));
    }

    #[test]
    fn what_turns_writing_round_is_written_out_and_json_stays_json() {
        let all = "\u{202A}\u{202E}\u{2066}\u{2069}\u{200E}\u{200F}\u{61C}";
        let text = format!("<b>é</b>\n\x1b[1m{all}");
        assert_eq!(
            without_format(&text),
            "<b>é</b>\n\x1b[1m\\u{202a}\\u{202e}\\u{2066}\\u{2069}\\u{200e}\\u{200f}\\u{61c}"
        );
        let json = serde_json::json!({ all: all }).to_string();
        let escaped = json_without_format(&json);
        assert!(escaped.is_ascii(), "{escaped}");
        assert_eq!(serde_json::from_str::<serde_json::Value>(&escaped).ok(), serde_json::from_str(&json).ok());
    }

    #[test]
    fn a_dash_is_standard_input() {
        assert_eq!(shown_file("-"), "standard input");
    }
}
