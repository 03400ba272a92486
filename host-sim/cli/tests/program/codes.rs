//! Release codes as they come: in photos beside codes of others, in text files, as short forms; and what has no release yet.

use crate::folder::{Folder, demo, done, error, holdoff, json};
use image::{GrayImage, Luma};
use qrcodegen_no_heap::{QrCode, QrCodeEcc, Version};
use std::path::Path;
use std::process::Output;

/// A logger's memory with one release of four fixings, its key, and the picture of the code.
struct Quay {
    folder: Folder,
    image: String,
    public: String,
    picture: String,
    code: String,
    short: String,
}

impl Quay {
    fn new(name: &str) -> Self {
        let folder = Folder::new(name);
        let path = |name: &str| folder.path(name);
        done(&["keys", "new", &path("k")]);
        let (image, codes, secret) = (path("m.bin"), path("codes"), path("k/secret.key"));
        done(&["replay", "--scenario", &demo("quay.toml"), "--image", &image, "--key", &secret]);
        let listing = json(&done(&["read", &image, "--json", "--codes", &codes]));
        let records = listing["sessions"][0]["records"].as_array().unwrap();
        let release = records.iter().find(|record| record["kind"] == "release").unwrap();
        let text = |key: &str| release[key].as_str().unwrap().to_owned();
        let picture = std::fs::read_dir(&codes).unwrap().next().unwrap().unwrap().path();
        let (code, short, public) = (text("code"), text("short"), path("k/public.key"));
        let picture = picture.to_string_lossy().into_owned();
        Self { image, public, picture, code, short, folder }
    }

    fn write(&self, name: &str, bytes: &[u8]) -> String {
        std::fs::write(self.folder.path(name), bytes).unwrap();
        self.folder.path(name)
    }

    fn save(&self, name: &str, picture: &GrayImage) -> String {
        picture.save(self.folder.path(name)).unwrap();
        self.folder.path(name)
    }

    /// What `prove` and `register add` make of it.
    fn both(&self, evidence: &str) -> [Output; 2] {
        let register = self.folder.path("site.db");
        let _ = std::fs::remove_file(&register);
        [
            holdoff(&["prove", evidence, "--keys", &self.public, "--json"]),
            holdoff(&["register", "--file", &register, "add", evidence, "--keys", &self.public, "--json"]),
        ]
    }
}

/// The code of somebody else, eight pixels a module, with its quiet zone.
fn of_another(text: &str) -> GrayImage {
    let (mut room, mut made) = (vec![0; Version::new(10).buffer_len()], vec![0; Version::new(10).buffer_len()]);
    let (least, most) = (Version::new(1), Version::new(10));
    let code = QrCode::encode_text(text, &mut room, &mut made, QrCodeEcc::Medium, least, most, None, true).unwrap();
    let side = (code.size() + 8) as u32 * 8;
    GrayImage::from_fn(side, side, |x, y| {
        Luma([if code.get_module(x as i32 / 8 - 4, y as i32 / 8 - 4) { 0 } else { 255 }])
    })
}

/// Pictures side by side on white.
fn side_by_side(pictures: &[&GrayImage]) -> GrayImage {
    let width = pictures.iter().map(|picture| picture.width() + 40).sum();
    let height = pictures.iter().map(|picture| picture.height()).max().unwrap() + 40;
    let mut whole = GrayImage::from_pixel(width, height, Luma([255]));
    let mut x = 20;
    for picture in pictures {
        image::imageops::overlay(&mut whole, *picture, x, 20);
        x += i64::from(picture.width()) + 40;
    }
    whole
}

#[test]
fn a_picture_in_which_no_code_can_be_read_asks_for_a_better_one_and_proves_nothing_either_way() {
    let quay = Quay::new("none");
    let ours = image::open(&quay.picture).unwrap().to_luma8();
    let blank = GrayImage::from_pixel(400, 300, Luma([200]));
    // too far away: a module is less than a pixel
    let far = image::imageops::resize(&ours, 40, 40, image::imageops::FilterType::Triangle);
    let blurred = image::imageops::blur(&ours, 12.0);
    let half = image::imageops::crop_imm(&ours, 0, 0, ours.width() / 2, ours.height()).to_image();
    for (name, picture) in [("blank.png", &blank), ("far.png", &far), ("blurred.png", &blurred), ("half.png", &half)] {
        for output in quay.both(&quay.save(name, picture)) {
            let said = error(&output);
            assert_eq!(output.status.code(), Some(3), "{name}: {said}");
            assert!(output.stdout.is_empty() && !said.contains("proved"), "{name}: {said}");
            assert!(said.contains("no release code can be read in the picture"), "{name}: {said}");
            assert!(said.contains("closer and sharper"), "{name}: {said}");
        }
        assert!(!Path::new(&quay.folder.path("site.db")).exists(), "no register is made for nothing");
    }
    let other = of_another("https://harbour.invalid/invented");
    for output in quay.both(&quay.save("other.png", &other)) {
        let said = error(&output);
        assert!(output.status.code() == Some(3) && said.contains("another code in the picture"), "{said}");
        assert!(said.contains("closer and sharper"), "{said}");
    }
}

#[test]
fn codes_of_others_beside_ours_are_passed_over_and_said_to_be() {
    let quay = Quay::new("others");
    let ours = image::open(&quay.picture).unwrap().to_luma8();
    let others = [of_another("https://harbour.invalid/invented"), of_another("LOT HS-2107-04")];
    let one = quay.save("one.png", &side_by_side(&[&others[0], &ours]));
    let two = quay.save("two.png", &side_by_side(&[&others[0], &ours, &others[1]]));
    let passed =
        [(one, "another code in the picture is no release code"), (two, "2 other codes in the picture are no")];
    for (picture, words) in passed {
        let [proved, added] = quay.both(&picture);
        for output in [&proved, &added] {
            let said = error(output);
            assert_eq!(output.status.code(), Some(0), "{said}");
            assert!(said.contains(words) && said.contains("passed over"), "{said}");
        }
        assert_eq!(json(&proved)["fixings"].as_array().unwrap().len(), 1);
        assert_eq!(json(&proved)["fixings"][0]["verdict"], "proved");
        assert_eq!(json(&added)["releases"][0]["verdict"], "proved");
    }
}

#[test]
fn a_code_that_is_held_keeps_no_other_one_of_its_picture_out() {
    let (quay, other) = (Quay::new("held"), Quay::new("held-other"));
    let [ours, theirs] = [&quay, &other].map(|quay| image::open(&quay.picture).unwrap().to_luma8());
    let both = quay.save("both.png", &side_by_side(&[&ours, &theirs]));
    let register = quay.folder.path("site.db");
    let add = |evidence: &str| holdoff(&["register", "--file", &register, "add", evidence, "--json"]);
    assert_eq!(add(&quay.picture).status.code(), Some(0));
    let output = add(&both);
    assert_eq!(output.status.code(), Some(0), "{}", error(&output));
    assert!(error(&output).contains("1 of 2 codes are in the register already"), "{}", error(&output));
    assert_eq!(json(&output)["releases"].as_array().unwrap().len(), 1);
    let list = json(&holdoff(&["register", "--file", &register, "list", "--json"]));
    assert_eq!(list["codes"].as_array().unwrap().len(), 2);
    let again = add(&both);
    assert!(again.status.code() == Some(3) && error(&again).contains("in the register already"), "{}", error(&again));
}

#[test]
fn a_code_in_a_text_file_is_read_whatever_a_program_put_round_it_and_a_short_form_is_told_as_one() {
    let quay = Quay::new("text");
    for (name, text) in [
        ("plain.txt", quay.code.clone()),
        ("mark.txt", format!("\u{FEFF}{}\r\n", quay.code)),
        ("blanks.txt", format!("\n  {}  \n\n", quay.code)),
    ] {
        for output in quay.both(&quay.write(name, text.as_bytes())) {
            assert_eq!(output.status.code(), Some(0), "{name}: {}", error(&output));
        }
    }
    let wrong = {
        let last = quay.short.chars().last().unwrap();
        let other = if last == '1' { '2' } else { '1' };
        format!("{}{other}", &quay.short[..quay.short.len() - 1])
    };
    let in_file = quay.write("short.txt", format!("\u{FEFF}{}\n", quay.short).as_bytes());
    for (evidence, words) in [
        (quay.short.clone(), "the short form of a release, which names it and proves nothing"),
        (quay.short.replace(' ', ""), "the short form of a release, which names it and proves nothing"),
        (in_file, "the short form of a release, which names it and proves nothing"),
        (wrong, "but a digit is wrong"),
    ] {
        for output in quay.both(&evidence) {
            let said = error(&output);
            assert_eq!(output.status.code(), Some(3), "{evidence}: {said}");
            assert!(said.contains(words) && said.contains("give the release code itself"), "{evidence}: {said}");
            assert!(!said.contains("no such file") && !said.contains("No such file"), "{evidence}: {said}");
        }
    }
    // a character that no code has, a character too few, one too many: said by its place and without debug text
    let at = quay.code.len() / 2;
    let strange = format!("{}a{}", &quay.code[..at], &quay.code[at + 1..]);
    for code in [strange, quay.code[..quay.code.len() - 1].to_owned(), format!("{}7", quay.code)] {
        let said = error(&holdoff(&["prove", &code, "--keys", &quay.public]));
        assert!(said.contains("this is no release code"), "{said}");
        assert!(!said.contains(['{', '}']) && !said.contains("Base45"), "{said}");
    }
}

#[test]
fn a_fixing_that_has_no_release_yet_is_neither_proved_nor_failed() {
    let quay = Quay::new("no-release");
    let output = holdoff(&["prove", &quay.image, "--keys", &quay.public, "--json"]);
    assert_eq!(output.status.code(), Some(4), "{}", error(&output));
    let fixings = json(&output)["fixings"].as_array().unwrap().clone();
    let verdicts: Vec<&str> = fixings.iter().map(|fixing| fixing["verdict"].as_str().unwrap()).collect();
    assert_eq!(verdicts, ["proved", "no-release-yet", "no-release", "no-release-yet"]);
    // proved is true of the first alone, and all of them are of an invented resin
    assert!(fixings.iter().all(|fixing| fixing["demo"] == true), "{fixings:?}");
    assert!(fixings.iter().zip(verdicts).all(|(fixing, verdict)| fixing["proved"] == (verdict == "proved")));
    for (language, words) in [
        ("en", ["NO RELEASE YET", "NO RELEASE\n"]),
        ("de", ["NOCH KEINE FREIGABE", " KEINE FREIGABE\n"]),
        ("fr", ["PAS ENCORE DE BON DE MISE EN CHARGE", "PAS DE BON DE MISE EN CHARGE"]),
    ] {
        let said = holdoff(&["prove", &quay.image, "--keys", &quay.public, "--language", language]);
        let text = String::from_utf8(said.stdout).unwrap();
        assert_eq!(text.matches(words[0]).count(), 2, "{text}");
        assert!(text.contains(words[1]), "{text}");
        assert!(!text.contains("NOT PROVED") && !text.contains("NICHT NACHGEWIESEN"), "{text}");
    }
    // what failed is worse than what is not there yet
    done(&["keys", "new", &quay.folder.path("other")]);
    let other = quay.folder.path("other/public.key");
    let failed = holdoff(&["prove", &quay.image, "--keys", &other, "--json"]);
    assert_eq!(failed.status.code(), Some(1));
    assert_eq!(json(&failed)["fixings"][0]["verdict"], "not-proved");
}

#[test]
fn the_pictures_of_codes_are_named_by_their_fixings() {
    let quay = Quay::new("names");
    let name = Path::new(&quay.picture).file_name().unwrap().to_string_lossy().into_owned();
    assert!(name.starts_with("bollard-3-stud-1-page-") && name.ends_with(".png"), "{name}");
}
