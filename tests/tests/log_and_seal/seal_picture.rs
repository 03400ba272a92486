//! Release codes read from pictures: screenshots of the logger's display, scans, and photos with everything wrong that a
//! hand and a cheap camera do.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use crate::seal_support::{Cure, key, particulars, steady};
use holdoff::picture::codes;
use holdoff_core::seal::{
    MODULES, MOST_SEALED, Particulars, QUIET, ReleaseCode, ReleaseRecord, Sealed, SealedView, Symbol, SymbolBuffers,
    read,
};
use holdoff_tests::random::numbers;
use image::{DynamicImage, GrayImage, ImageFormat, Luma};
use std::io::Cursor;

/// Sealed releases of different torques.
fn sealed(number: u32) -> Sealed {
    let cure = Cure { torque: Some((1_800, 2_200, 1_900 + number)), ..Cure::usual() };
    let (group, fixing) = cure.play(steady);
    let record = ReleaseRecord::of(&group, fixing, &Particulars { ..particulars() }).expect("a record");
    Sealed::new(&record, &key()).expect("sealed")
}

/// The symbol with its quiet zone, so many pixels a module, 0 dark and 255 light.
fn symbol(sealed: &Sealed, pixels: u32) -> GrayImage {
    let code = ReleaseCode::of(sealed.bytes()).expect("a code");
    let mut buffers = SymbolBuffers::new();
    let symbol = Symbol::of(&code, &mut buffers).expect("a symbol");
    let side = u32::from(MODULES + 2 * QUIET) * pixels;
    let module = |pixel: u32| (pixel / pixels).checked_sub(u32::from(QUIET)).map_or(u8::MAX, |module| module as u8);
    GrayImage::from_fn(side, side, |x, y| Luma([if symbol.is_dark(module(x), module(y)) { 0 } else { 255 }]))
}

/// A display of 128 x 64 that shows the symbol lit, a pixel a module, enlarged.
fn screenshot(sealed: &Sealed, times: u32) -> GrayImage {
    let symbol = symbol(sealed, 1);
    let display = GrayImage::from_fn(128, 64, |x, y| {
        let inside = x.checked_sub(4).zip(y.checked_sub(3)).filter(|&(x, y)| x < symbol.width() && y < symbol.height());
        // text to the right of it
        let text = x > 70 && x < 120 && y % 9 < 6 && (x * 7 + y * 13) % 5 < 2;
        inside.map_or(Luma([if text { 255 } else { 0 }]), |(x, y)| *symbol.get_pixel(x, y))
    });
    GrayImage::from_fn(128 * times, 64 * times, |x, y| *display.get_pixel(x / times, y / times))
}

/// What the camera sees: the picture turned, tilted and in its place on a larger ground.
#[derive(Clone, Copy)]
struct View {
    /// Side of the photo in pixels.
    side: u32,
    /// Turned by this angle in degrees.
    turned: f32,
    /// How much nearer the right side is than the left, as a part of 1.
    tilted: f32,
    /// Part of the photo's side that the picture takes.
    part: f32,
    /// Radius of the blur in pixels.
    blur: f32,
    /// Greatest noise of a pixel.
    noise: i32,
    /// Light of the darkest and the lightest, at the left and at the right.
    light: [(f32, f32); 2],
}

const PLAIN: View =
    View { side: 600, turned: 0.0, tilted: 0.0, part: 0.8, blur: 0.0, noise: 0, light: [(0.0, 255.0), (0.0, 255.0)] };

fn photo(picture: &GrayImage, view: View) -> GrayImage {
    let mut next = numbers(0xCA3E2A);
    let middle = view.side as f32 / 2.0;
    let (sine, cosine) = view.turned.to_radians().sin_cos();
    let size = view.side as f32 * view.part;
    let mut photo = GrayImage::from_fn(view.side, view.side, |x, y| {
        let (across, down) = (x as f32 + 0.5 - middle, y as f32 + 0.5 - middle);
        let (x1, y1) = (across * cosine + down * sine, down * cosine - across * sine);
        let near = 1.0 + view.tilted * x1 / size;
        let (u, v) = (x1 / near / size + 0.5, y1 / near / size + 0.5);
        let inside = (0.0..1.0).contains(&u) && (0.0..1.0).contains(&v);
        // beside the picture, the grey of a concrete wall
        let seen = if inside { mixed(picture, u, v) } else { 150.0 };
        let right = x as f32 / view.side as f32;
        let [(dark0, light0), (dark1, light1)] = view.light;
        let (dark, light) = (dark0 + (dark1 - dark0) * right, light0 + (light1 - light0) * right);
        Luma([(dark + (light - dark) * seen / 255.0) as u8])
    });
    if view.blur > 0.0 {
        photo = image::imageops::blur(&photo, view.blur);
    }
    for pixel in photo.pixels_mut() {
        let noise = if view.noise > 0 { (next() % (2 * view.noise as u64 + 1)) as i32 - view.noise } else { 0 };
        pixel.0[0] = (i32::from(pixel.0[0]) + noise).clamp(0, 255) as u8;
    }
    photo
}

/// The mean of four samples around a place given as parts of the sides.
fn mixed(picture: &GrayImage, u: f32, v: f32) -> f32 {
    let (width, height) = (picture.width(), picture.height());
    let at = |du: f32, dv: f32| {
        let x = (u * width as f32 + du).clamp(0.0, width as f32 - 1.0) as u32;
        let y = (v * height as f32 + dv).clamp(0.0, height as f32 - 1.0) as u32;
        f32::from(picture.get_pixel(x, y).0[0])
    };
    (at(0.25, 0.25) + at(-0.25, 0.25) + at(0.25, -0.25) + at(-0.25, -0.25)) / 4.0
}

fn file(picture: &GrayImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::ImageLuma8(picture.clone()).write_to(&mut bytes, format).expect("written");
    bytes.into_inner()
}

/// Whether the picture gives exactly these releases, in any order.
fn gives(bytes: &[u8], releases: &[Sealed]) -> bool {
    let found = codes(bytes).expect("a picture");
    let read: Vec<Vec<u8>> = found
        .iter()
        .filter_map(|text| {
            let mut buffer = [0; MOST_SEALED];
            read(text, &mut buffer).ok()?;
            let code = std::str::from_utf8(text).ok()?;
            let mut sealed = [0; MOST_SEALED];
            Some(holdoff_core::seal::base45_decode(&code.as_bytes()[4..], &mut sealed).ok()?.to_vec())
        })
        .collect();
    assert!(read.iter().all(|read| SealedView::parse(read).is_ok_and(|view| view.verify(&key().public()).is_ok())));
    read.len() == releases.len() && releases.iter().all(|sealed| read.iter().any(|read| read == sealed.bytes()))
}

#[test]
fn drawn_codes_of_every_size_are_read() {
    let release = sealed(0);
    for pixels in 1..=12 {
        let picture = symbol(&release, pixels);
        for format in [ImageFormat::Png, ImageFormat::Jpeg] {
            assert!(gives(&file(&picture, format), &[release]), "{pixels} pixels a module as {format:?}");
        }
    }
}

#[test]
fn screenshots_of_the_display_are_read() {
    let release = sealed(1);
    for times in [1, 2, 3, 4, 8] {
        assert!(gives(&file(&screenshot(&release, times), ImageFormat::Png), &[release]), "{times} times");
    }
}

#[test]
fn a_negative_is_read() {
    let release = sealed(2);
    for pixels in [1, 4] {
        let mut picture = symbol(&release, pixels);
        picture.pixels_mut().for_each(|pixel| pixel.0[0] = 255 - pixel.0[0]);
        assert!(gives(&file(&picture, ImageFormat::Png), &[release]), "{pixels} pixels a module");
    }
}

#[test]
fn a_transparent_ground_is_light() {
    let release = sealed(3);
    let picture = symbol(&release, 3);
    let picture = image::GrayAlphaImage::from_fn(picture.width(), picture.height(), |x, y| {
        image::LumaA([0, 255 - picture.get_pixel(x, y).0[0]])
    });
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::ImageLumaA8(picture).write_to(&mut bytes, ImageFormat::Png).expect("written");
    assert!(gives(bytes.get_ref(), &[release]));
}

#[test]
fn photos_turned_by_any_angle_are_read() {
    let release = sealed(4);
    let picture = symbol(&release, 8);
    for turned in (0..360).step_by(24) {
        let view = View { turned: turned as f32, part: 0.65, ..PLAIN };
        assert!(gives(&file(&photo(&picture, view), ImageFormat::Jpeg), &[release]), "{turned} degrees");
    }
}

#[test]
fn photos_with_all_that_goes_wrong_are_read() {
    let release = sealed(5);
    let picture = symbol(&release, 8);
    let views = [
        ("small", View { side: 260, ..PLAIN }),
        ("small and turned", View { side: 320, turned: 12.0, ..PLAIN }),
        ("noisy", View { noise: 60, ..PLAIN }),
        ("small and noisy", View { side: 330, noise: 35, ..PLAIN }),
        ("blurred", View { blur: 2.0, ..PLAIN }),
        ("tilted", View { tilted: 0.15, ..PLAIN }),
        ("dim", View { light: [(40.0, 110.0), (40.0, 110.0)], noise: 8, ..PLAIN }),
        ("half in the shade", View { light: [(10.0, 90.0), (90.0, 250.0)], noise: 5, ..PLAIN }),
        (
            "a phone's photo",
            View {
                side: 2_400,
                turned: 7.0,
                tilted: 0.08,
                part: 0.4,
                blur: 2.0,
                noise: 30,
                light: [(30.0, 170.0), (50.0, 220.0)],
            },
        ),
    ];
    for (name, view) in views {
        assert!(gives(&file(&photo(&picture, view), ImageFormat::Jpeg), &[release]), "{name}");
    }
}

#[test]
fn a_photo_of_the_display_is_read() {
    let release = sealed(6);
    let display = screenshot(&release, 12);
    let square = GrayImage::from_fn(1_536, 1_536, |x, y| if y < 768 { *display.get_pixel(x, y) } else { Luma([90]) });
    let view = View {
        side: 1_600,
        turned: -4.0,
        part: 0.9,
        blur: 1.5,
        noise: 20,
        light: [(20.0, 200.0), (30.0, 230.0)],
        ..PLAIN
    };
    assert!(gives(&file(&photo(&square, view), ImageFormat::Jpeg), &[release]));
}

#[test]
fn several_codes_in_a_picture_are_all_read() {
    let releases: Vec<Sealed> = (10..14).map(sealed).collect();
    for pixels in [2, 5] {
        let symbols: Vec<GrayImage> = releases.iter().map(|release| symbol(release, pixels)).collect();
        let side = symbols[0].width() + 10;
        let sheet = GrayImage::from_fn(2 * side, 2 * side, |x, y| {
            let symbol = &symbols[(x / side + 2 * (y / side)) as usize];
            *symbol.get_pixel_checked(x % side, y % side).unwrap_or(&Luma([255]))
        });
        assert!(gives(&file(&sheet, ImageFormat::Png), &releases), "{pixels} pixels a module");
    }
}

#[test]
fn a_picture_without_a_code_gives_none() {
    let mut next = numbers(3);
    for side in [1, 2, 7, 40, 300] {
        let noise = GrayImage::from_fn(side, side, |_, _| Luma([next() as u8]));
        assert_eq!(codes(&file(&noise, ImageFormat::Png)), Ok(Vec::new()), "{side}");
    }
    let plain = GrayImage::from_pixel(50, 3, Luma([255]));
    assert_eq!(codes(&file(&plain, ImageFormat::Jpeg)), Ok(Vec::new()));
}
