//! The screens: what they look like is kept in `docs/screens`, what they must never do is tried on random views.
//!
//! `HOLDOFF_DRAW=1 cargo test -p holdoff-firmware --test screens` draws the kept pictures anew.
#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a broken expectation must stop the test"
)]

#[allow(dead_code, reason = "the other test of the screens uses the rest")]
mod gallery;

use gallery::{Shown, gallery, release};
use holdoff_core::seal::{ReleaseCode, ShortForm, Symbol, SymbolBuffers};
use holdoff_firmware::screen::{Frame, frame};
use image::{GrayImage, Luma};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Pixels of a picture for a point of the display.
const SCALE: u32 = 4;
/// Columns of the sheet that shows all.
const COLUMNS: u32 = 5;
/// Pixels of the sheet for a point of the display.
const SHEET_SCALE: u32 = 2;

fn with_gallery(look: impl FnOnce(&[Shown<'_>], &ReleaseCode, ShortForm)) {
    let (code, short) = release();
    let mut buffers = SymbolBuffers::new();
    let symbol = Symbol::of(&code, &mut buffers).expect("a symbol");
    look(&gallery(&symbol, short), &code, short);
}

fn docs() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs")
}

/// A lit point is light blue-grey on the real thing; here it is white.
fn picture(frame: &Frame, scale: u32) -> GrayImage {
    GrayImage::from_fn(128 * scale, 64 * scale, |x, y| Luma([if frame.is_lit(x / scale, y / scale) { 255 } else { 0 }]))
}

fn sheet(shown: &[Shown<'_>]) -> GrayImage {
    let (wide, high, gap) = (128 * SHEET_SCALE, 64 * SHEET_SCALE, 8);
    let rows = (shown.len() as u32).div_ceil(COLUMNS);
    let mut sheet = GrayImage::from_pixel(COLUMNS * (wide + gap) + gap, rows * (high + gap) + gap, Luma([96]));
    for (place, shown) in (0..).zip(shown) {
        let (x, y) = (place % COLUMNS * (wide + gap) + gap, place / COLUMNS * (high + gap) + gap);
        image::imageops::replace(&mut sheet, &picture(&frame(&shown.view), SHEET_SCALE), i64::from(x), i64::from(y));
    }
    sheet
}

/// The page that shows them all, its text before the pictures as it is kept.
fn page(kept: &str, shown: &[Shown<'_>]) -> String {
    const MARK: &str = "## All screens\n";
    let before = kept.split(MARK).next().unwrap_or_default();
    let mut text = format!("{before}{MARK}\n| | |\n| --- | --- |\n");
    for shown in shown {
        let _ = writeln!(text, "| ![{0}](screens/{0}.png) | `{0}`: {1} |", shown.name, shown.tells);
    }
    text
}

/// Every QR code that is found in a screen's picture.
fn codes(frame: &Frame, scale: u32) -> Vec<String> {
    let picture = picture(frame, scale);
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    let mut prepared =
        rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| picture.get_pixel(x as u32, y as u32).0[0]);
    prepared.detect_grids().iter().filter_map(|grid| grid.decode().ok()).map(|(_, text)| text).collect()
}

fn save(image: &GrayImage, path: &Path) {
    image.save(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
}

#[test]
fn every_screen_looks_as_it_is_kept() {
    with_gallery(|shown, _, _| {
        let directory = docs().join("screens");
        let text = std::fs::read_to_string(docs().join("screens.md")).unwrap_or_default();
        if std::env::var_os("HOLDOFF_DRAW").is_some() {
            std::fs::create_dir_all(&directory).expect("a directory");
            for shown in shown {
                save(&picture(&frame(&shown.view), SCALE), &directory.join(format!("{}.png", shown.name)));
            }
            save(&sheet(shown), &directory.join("all.png"));
            std::fs::write(docs().join("screens.md"), page(&text, shown)).expect("written");
            return;
        }
        let kept = |name: &str| {
            let path = directory.join(name);
            image::open(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display())).into_luma8()
        };
        for shown in shown {
            let now = picture(&frame(&shown.view), SCALE);
            assert!(now == kept(&format!("{}.png", shown.name)), "{} looks different now", shown.name);
        }
        assert!(sheet(shown) == kept("all.png"), "the sheet of all screens is not of today");
        assert_eq!(text, page(&text, shown), "docs/screens.md does not show today's screens");
        let pictures = std::fs::read_dir(&directory).expect("the pictures").count();
        assert_eq!(pictures, shown.len() + 1, "there are pictures of screens that are no more");
    });
}

#[test]
fn no_two_screens_look_the_same() {
    with_gallery(|shown, _, _| {
        for (place, one) in shown.iter().enumerate() {
            for other in shown.iter().skip(place + 1) {
                assert!(frame(&one.view) != frame(&other.view), "{} and {} look the same", one.name, other.name);
            }
        }
    });
}

#[test]
fn the_release_code_is_read_off_its_screen() {
    with_gallery(|shown, code, _| {
        let screen = shown.iter().find(|shown| shown.name == "code").expect("the code");
        for scale in [3, 4, 8] {
            assert_eq!(codes(&frame(&screen.view), scale), [code.text()], "at {scale} pixels a point");
        }
    });
}
