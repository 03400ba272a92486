//! Seal, release code and QR code: published values, other implementations, and everything that must be refused.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use crate::seal_support::{Cure, Written, group_step, key, other_key, particulars, resin, settings, signed_by, steady};
use holdoff_core::fixing::{Action, Decision};
use holdoff_core::group::{Group, Happening};
use holdoff_core::log::DeviceId;
use holdoff_core::quantity::{Instant, Torque};
use holdoff_core::seal::Label;
use holdoff_core::seal::{
    CONTEXT, CodeError, MODULES, MOST_CODE, MOST_MESSAGE, MOST_SEALED, PREFIX, Particulars, RecordError, ReleaseCode,
    ReleaseRecord, SealError, Sealed, SealedView, SecretKey, ShortForm, Strength, Symbol, SymbolBuffers, VerifyError,
    base45_decode, base45_encode, base45_length, read,
};
use holdoff_evidence::NotProved;
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::keys::verify::prove;
use holdoff_evidence::keys::{NamedKey, Ring};
use holdoff_tests::random::numbers;
use qrcodegen_no_heap::{QrCode, QrCodeEcc, QrSegment, Version};

fn sealed() -> Sealed {
    let (group, fixing) = Cure::usual().play(steady);
    let record = ReleaseRecord::of(&group, fixing, &particulars()).expect("a record");
    Sealed::new(&record, &key()).expect("sealed")
}

fn ring_of(key: &SecretKey) -> Ring {
    Ring::of(NamedKey {
        name: "the logger".into(),
        device: Some(particulars().device),
        public: key.public(),
        enrolled: None,
    })
}

/// What two verifiers that share no code say; they must agree.
fn is_proved(view: &SealedView<'_>, key: &SecretKey) -> bool {
    let ring = ring_of(key);
    let (there, here) = (prove(view, &ring), view.verify(&key.public()));
    assert_eq!(there.is_ok(), here.is_ok(), "{there:?} {here:?}");
    here.is_ok()
}

#[test]
fn base45_is_that_of_another_implementation() {
    let mut next = numbers(45);
    for _ in 0..20_000 {
        let bytes: Vec<u8> = (0..next() % 64).map(|_| next() as u8).collect();
        let (mut text, mut back) = ([0; 96], [0; 64]);
        let text = base45_encode(&bytes, &mut text).expect("room");
        assert_eq!(text, base45::encode(&bytes));
        assert_eq!(text.len(), base45_length(bytes.len()));
        assert_eq!(base45_decode(text.as_bytes(), &mut back), Ok(bytes.as_slice()));
    }
}

#[test]
fn base45_refuses_what_another_implementation_refuses() {
    let mut next = numbers(54);
    let alphabet = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:abz,\n";
    let (mut taken, mut refused) = (0, 0);
    for _ in 0..200_000 {
        let length = next() % 8;
        let text: Vec<u8> = (0..length).map(|_| alphabet[(next() % alphabet.len() as u64) as usize]).collect();
        let text = std::str::from_utf8(&text).expect("ASCII");
        // the other one lets the top bits of a number that is too large fall off; RFC 9285 has no such text, so what it
        // makes of one does not come back as the same text
        let other = base45::decode(text).ok().filter(|bytes| base45::encode(bytes) == text);
        let mut buffer = [0; 8];
        let ours = base45_decode(text.as_bytes(), &mut buffer).ok();
        assert_eq!(ours, other.as_deref(), "{text:?}");
        if ours.is_some() { taken += 1 } else { refused += 1 }
    }
    assert!(taken > 10_000 && refused > 10_000, "{taken} {refused}");
}

#[test]
fn qr_capacities_are_the_published_ones() {
    // ISO/IEC 18004, alphanumeric characters for L, M, Q, H; versions 1 to 10 (several public tables agree, and they follow
    // from the numbers of codewords); beside them the bytes in base45
    let published = [
        (1, [25, 20, 16, 10], [16, 13, 10, 6]),
        (2, [47, 38, 29, 20], [31, 25, 19, 13]),
        (3, [77, 61, 47, 35], [51, 40, 31, 23]),
        (4, [114, 90, 67, 50], [76, 60, 44, 33]),
        (5, [154, 122, 87, 64], [102, 81, 58, 42]),
        (6, [195, 154, 108, 84], [130, 102, 72, 56]),
        (7, [224, 178, 125, 93], [149, 118, 83, 62]),
        (8, [279, 221, 157, 122], [186, 147, 104, 81]),
        (9, [335, 262, 189, 143], [223, 174, 126, 95]),
        (10, [395, 311, 221, 174], [263, 207, 147, 116]),
    ];
    let levels = [QrCodeEcc::Low, QrCodeEcc::Medium, QrCodeEcc::Quartile, QrCodeEcc::High];
    let (mut one, mut two) = ([0u8; 4_000], [0u8; 4_000]);
    for (version, characters, bytes) in published {
        let version = Version::new(version);
        for ((level, characters), bytes) in levels.into_iter().zip(characters).zip(bytes) {
            for (count, fits) in [(characters, true), (characters + 1, false)] {
                let text = "A".repeat(count);
                assert!(QrSegment::is_alphanumeric(&text));
                let drawn = QrCode::encode_text(&text, &mut one, &mut two, level, version, version, None, false);
                assert_eq!(drawn.is_ok(), fits, "{count} characters");
            }
            assert!(base45_length(bytes) <= characters && base45_length(bytes + 1) > characters, "{bytes} bytes");
        }
    }
}

#[test]
fn a_release_code_is_read_back_and_proved() {
    let sealed = sealed();
    let code = ReleaseCode::of(sealed.bytes()).expect("a code");
    assert!(code.text().starts_with(PREFIX) && QrSegment::is_alphanumeric(code.text()));
    for around in ["", "\n", "\r\n", "  "] {
        let mut buffer = [0; MOST_SEALED];
        let text = format!("{around}{}{around}", code.text());
        let view = read(text.as_bytes(), &mut buffer).expect("a sealed record");
        assert!(is_proved(&view, &key()));
        assert_eq!(view, SealedView::parse(sealed.bytes()).expect("parsed"));
    }
}

#[test]
fn no_code_begins_or_ends_with_a_blank() {
    // else it could not be told from one that was copied with blanks around it
    for last in 0..=255u8 {
        for bytes in [vec![7, last], vec![last, last], vec![last]] {
            let mut text = [0; 6];
            let text = base45_encode(&bytes, &mut text).expect("room");
            assert!(!text.ends_with(' '), "{bytes:?}");
        }
    }
    let mut text = [0; 3];
    for pair in 0..=u16::MAX {
        assert!(!base45_encode(&pair.to_be_bytes(), &mut text).expect("room").ends_with(' '));
    }
}

/// The fenced block after a line that begins so, in `docs/release-code.md`.
fn documented(begin: &str) -> String {
    let document = include_str!("../../../docs/release-code.md");
    let mut lines =
        document.lines().skip_while(|line| !line.starts_with(begin)).skip_while(|line| !line.starts_with("```"));
    lines.next();
    lines.take_while(|line| !line.starts_with("```")).collect::<Vec<_>>().join("\n")
}

/// Bytes from hexadecimal digits with blanks anywhere.
fn bytes_of(hex: &str) -> Vec<u8> {
    let digits: Vec<u32> = hex.chars().filter_map(|digit| digit.to_digit(16)).collect();
    digits.chunks(2).map(|pair| (pair[0] * 16 + pair[1]) as u8).collect()
}

#[test]
fn the_worked_example_of_the_document_is_true() {
    let (record, signature) = (bytes_of(&documented("Record, ")), bytes_of(&documented("Signature:")));
    assert_eq!((record.len(), signature.len()), (93, 64));
    let made = sealed();
    assert_eq!(made.bytes(), [record, signature].concat());
    assert_eq!(ReleaseCode::of(made.bytes()).expect("a code").text(), documented("Release code:"));
    let view = SealedView::parse(made.bytes()).expect("parsed");
    assert_eq!(ShortForm::of(view.unverified()).to_string(), documented("Short form ("));
    assert!(is_proved(&view, &key()));
    // the numbers that the text names
    let record = view.unverified();
    let at = |seconds: i64| Instant::from_seconds(seconds);
    assert_eq!((record.injected_at(), record.seated_at()), (at(86_400), at(86_407)));
    assert_eq!(record.counted().each(), Some(&[0, 0, 0, 10_802, 0, 0][..]));
    assert_eq!((record.required_seconds(), record.served_seconds()), (10_800, 10_800));
    assert_eq!(record.speaks_for().since(record.cured_at()), 1_525);
    assert_eq!((record.coldest().raw(), record.label()), (11 * 256, Some("North 3")));
}

#[test]
fn what_is_signed_is_the_context_and_the_record() {
    let sealed = sealed();
    let view = SealedView::parse(sealed.bytes()).expect("parsed");
    let (record, signature) = sealed.bytes().split_at(sealed.bytes().len() - 64);
    let mut buffer = [0; MOST_MESSAGE];
    assert_eq!(view.message(&mut buffer), [&CONTEXT[..], record].concat());
    assert_eq!(view.signature(), signature);
    assert_eq!(&CONTEXT, b"holdoff release record\n");
}

#[test]
fn every_bit_of_a_sealed_record_counts() {
    let good = sealed().bytes().to_vec();
    for place in 0..good.len() {
        for bit in 0..8 {
            let mut bytes = good.clone();
            bytes[place] ^= 1 << bit;
            let proved = SealedView::parse(&bytes).is_ok_and(|view| is_proved(&view, &key()));
            assert!(!proved, "bit {bit} of byte {place}");
        }
    }
    for length in 0..good.len() {
        let proved = SealedView::parse(&good[..length]).is_ok_and(|view| is_proved(&view, &key()));
        assert!(!proved, "{length} bytes");
    }
}

#[test]
fn every_bit_and_every_character_of_a_release_code_counts() {
    let sealed = sealed();
    let code = ReleaseCode::of(sealed.bytes()).expect("a code");
    let good = code.text().as_bytes();
    let ring = ring_of(&key());
    let proved = |text: &[u8]| {
        let mut buffer = [0; MOST_SEALED];
        read(text, &mut buffer).is_ok_and(|view| prove(&view, &ring).is_ok())
    };
    assert!(proved(good));
    let alphabet = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
    for place in 0..good.len() {
        let flipped = (0..8).map(|bit| good[place] ^ 1 << bit);
        for other in flipped.chain(*alphabet).filter(|other| *other != good[place]) {
            let mut text = good.to_vec();
            text[place] = other;
            assert!(!proved(&text), "{} at {place}", other as char);
        }
        let mut text = good.to_vec();
        text.remove(place);
        assert!(!proved(&text), "without {place}");
        if place + 1 < good.len() && good[place] != good[place + 1] {
            let mut text = good.to_vec();
            text.swap(place, place + 1);
            assert!(!proved(&text), "{place} changed over with the next");
        }
    }
}

#[test]
fn what_is_no_release_code_is_refused_by_name() {
    let mut buffer = [0; MOST_SEALED];
    let mut error = |text: &str| read(text.as_bytes(), &mut buffer).err();
    assert_eq!(error(""), Some(CodeError::Prefix));
    assert_eq!(error("HC1:6BFOXN"), Some(CodeError::Prefix));
    assert_eq!(error("hor:000"), Some(CodeError::Prefix));
    assert_eq!(error("HOR:"), Some(CodeError::Record(RecordError::TooShort { needed: 65, found: 0 })));
    let long = format!("HOR:{}", "0".repeat(MOST_CODE - 3));
    assert_eq!(error(&long), Some(CodeError::TooLong { found: MOST_CODE + 1 }));
    assert!(matches!(error("HOR:GGW"), Some(CodeError::Base45(_))));
}

#[test]
fn another_key_proves_nothing() {
    let sealed = sealed();
    let view = SealedView::parse(sealed.bytes()).expect("parsed");
    let (named, given) = (key().public().id(), other_key().public().id());
    assert_eq!(view.verify(&other_key().public()), Err(VerifyError::OtherKey { named, given }));
    assert_eq!(prove(&view, &ring_of(&other_key())), Err(NotProved::KeyNotGiven { named: to_hex(&named.0) }));
    // a record that names a key which did not sign it
    let (group, fixing) = Cure::usual().play(steady);
    let record = ReleaseRecord::of(&group, fixing, &particulars()).expect("a record");
    let swapped = SealError::OtherKey { named, given };
    assert_eq!(Sealed::new(&record, &other_key()), Err(swapped));
    let others = ReleaseRecord::of(&group, fixing, &signed_by(&other_key())).expect("a record");
    let others = Sealed::new(&others, &other_key()).expect("sealed");
    let (record, _) = sealed.bytes().split_at(sealed.bytes().len() - 64);
    let (_, signature) = others.bytes().split_at(others.bytes().len() - 64);
    let moved = [record, signature].concat();
    let view = SealedView::parse(&moved).expect("parsed");
    assert!(!is_proved(&view, &key()));
    assert_eq!(prove(&view, &ring_of(&key())), Err(NotProved::SignatureFails { key: "the logger".into() }));
}

#[test]
fn the_key_of_another_device_proves_nothing() {
    let (group, fixing) = Cure::usual().play(steady);
    let device = DeviceId([9; 8]);
    let record = ReleaseRecord::of(&group, fixing, &Particulars { device, ..particulars() }).expect("a record");
    let sealed = Sealed::new(&record, &key()).expect("sealed");
    let view = SealedView::parse(sealed.bytes()).expect("parsed");
    assert!(view.verify(&key().public()).is_ok(), "the signature itself is good");
    let expected = to_hex(&particulars().device.0);
    let found = NotProved::KeyOfOtherDevice { key: "the logger".into(), expected, found: to_hex(&device.0) };
    assert_eq!(prove(&view, &ring_of(&key())), Err(found));
    let any = Ring::of(NamedKey { name: "any".into(), device: None, public: key().public(), enrolled: None });
    assert_eq!(prove(&view, &any).map(|proved| *proved.record()), Ok(record));
}

#[test]
fn a_signature_in_its_second_spelling_is_refused() {
    // S + L has the same meaning as S to a lax verifier (RFC 8032, 5.1.7 and 8.4); L, low byte first
    let order: [u8; 32] = [
        0xed, 0xd3, 0xf5, 0x5c, 0x1a, 0x63, 0x12, 0x58, 0xd6, 0x9c, 0xf7, 0xa2, 0xde, 0xf9, 0xde, 0x14, 0, 0, 0, 0, 0,
        0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0x10,
    ];
    let mut bytes = sealed().bytes().to_vec();
    let from = bytes.len() - 32;
    let mut carry = 0;
    for (byte, add) in bytes[from..].iter_mut().zip(order) {
        let sum = u16::from(*byte) + u16::from(add) + carry;
        *byte = sum as u8;
        carry = sum >> 8;
    }
    assert_eq!(carry, 0);
    let view = SealedView::parse(&bytes).expect("parsed");
    assert!(!is_proved(&view, &key()));
}

#[test]
fn every_record_has_a_symbol_of_version_8() {
    let mut next = numbers(0x0C0DE);
    let mut strengths = [0; 4];
    for round in 0..60 {
        let label: Vec<u8> = (0..next() % 17).map(|_| b'a' + (next() % 26) as u8).collect();
        let label = Label::new(&label).expect("a label");
        let bands = 1 + (next() % 16) as usize;
        let cure = Cure {
            resin: resin(bands, -40, 2, 40_000),
            settings: settings(256, 300, 90 + (next() % 20) as u16),
            torque: (next() % 2 == 0).then_some((1_000, 2_000, 1_500)),
            ..Cure::usual()
        };
        let (group, fixing) = cure.play(|number| (-38 * 256 + 300 + (number / 20) as i64 % bands as i64 * 512) as i16);
        let record = ReleaseRecord::of(&group, fixing, &Particulars { label, ..particulars() }).expect("a record");
        let sealed = Sealed::new(&record, &key()).expect("sealed");
        let code = ReleaseCode::of(sealed.bytes()).expect("a code");
        assert!(code.text().len() <= MOST_CODE, "{round}");
        let mut buffers = SymbolBuffers::new();
        let symbol = Symbol::of(&code, &mut buffers).expect("a symbol");
        strengths[symbol.strength() as usize] += 1;
        // the format says the same (ISO/IEC 18004: the first two bits are 01 for L, 00 for M, masked with 10)
        let format = [symbol.is_dark(0, 8) ^ true, symbol.is_dark(1, 8)];
        let expected = match symbol.strength() {
            Strength::Low => [false, true],
            Strength::Medium => [false, false],
            Strength::Quartile => [true, true],
            Strength::High => [true, false],
        };
        assert_eq!(format, expected);
        // the three finder patterns: a dark corner, and light beyond the symbol
        for (x, y) in [(0, 0), (MODULES - 1, 0), (0, MODULES - 1)] {
            assert!(symbol.is_dark(x, y));
        }
        assert!(!symbol.is_dark(MODULES, 0) && !symbol.is_dark(0, 255));
    }
    assert_eq!(strengths, [60, 0, 0, 0], "L, with a wall clock and hours of cure");
}

#[test]
fn a_short_code_has_a_stronger_symbol() {
    let short = Written { label: Vec::new(), clock: None, torque: None, ..Written::usual() };
    for (label, strength) in [(0, Strength::Medium), (16, Strength::Low)] {
        let written = Written { label: vec![b'x'; label], ..short.clone() };
        let sealed = [written.bytes(false), vec![0; 64]].concat();
        let code = ReleaseCode::of(&sealed).expect("a code");
        let mut buffers = SymbolBuffers::new();
        assert_eq!(Symbol::of(&code, &mut buffers).map(|symbol| symbol.strength()), Ok(strength));
    }
}

#[test]
fn a_decision_on_a_rejected_fixing_cannot_be_sealed_as_a_release() {
    let (mut group, fixing) = Cure::usual().play(steady);
    let (last, _) = group.last_reading().expect("a reading");
    let act = |group: &mut Group, after: i64, action| {
        let at = Instant::from_seconds(last.seconds() + after);
        group_step(group, Happening::Action { at, fixing, action });
    };
    act(&mut group, 2_000, Action::Torque(Torque::from_hundredths(9_999)));
    act(&mut group, 2_001, Action::Decide(Decision::Accept));
    assert!(ReleaseRecord::of(&group, fixing, &particulars()).is_err());
}
