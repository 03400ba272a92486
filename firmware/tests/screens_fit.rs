//! What the screens must never do, tried on one view of every kind and on random ones: draw outside, draw one thing over
//! another, panic, look otherwise strip by strip, or say that something may be done that may not.
#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a broken expectation must stop the test"
)]

#[allow(dead_code, reason = "the other test of the screens uses the rest")]
mod gallery;

use embedded_graphics::Pixel;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::{Dimensions, Point, Size};
use embedded_graphics::pixelcolor::BinaryColor;
use embedded_graphics::primitives::Rectangle;
use fastrand::Rng;
use gallery::random::{Maker, Reach};
use gallery::{gallery, release};
use holdoff_core::fixing::{Ground, Grounds};
use holdoff_core::seal::{Symbol, SymbolBuffers};
use holdoff_firmware::screen::{Frame, STRIPS, draw, draw_strip, frame};
use holdoff_firmware::view::{Held, Lack, Lacks, May, Page, State, View, Wait};
use std::convert::Infallible;

/// Random views of a test.
const VIEWS: usize = 20_000;

/// A display that remembers which point was drawn in which colour, and what should not have been drawn.
struct Strict {
    points: Vec<Option<BinaryColor>>,
    outside: Vec<Point>,
    twice: Vec<Point>,
}

impl Strict {
    fn of(view: &View<'_>) -> Self {
        let mut strict = Self { points: vec![None; 128 * 64], outside: Vec::new(), twice: Vec::new() };
        match draw(view, &mut strict) {
            Ok(()) => strict,
        }
    }
}

impl Dimensions for Strict {
    /// Larger than the display, so that what is outside is not cut off before it is seen.
    fn bounding_box(&self) -> Rectangle {
        Rectangle::new(Point::new(0, -64), Size::new(128, 192))
    }
}

impl DrawTarget for Strict {
    type Color = BinaryColor;
    type Error = Infallible;

    fn draw_iter<I>(&mut self, pixels: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Pixel<BinaryColor>>,
    {
        for Pixel(at, colour) in pixels {
            if !(0..128).contains(&at.x) || !(0..64).contains(&at.y) {
                self.outside.push(at);
                continue;
            }
            let point = &mut self.points[(at.y * 128 + at.x) as usize];
            if *point == Some(colour) {
                self.twice.push(at);
            }
            *point = Some(colour);
        }
        Ok(())
    }
}

fn check_fits(what: &str, view: &View<'_>) {
    let strict = Strict::of(view);
    assert!(strict.outside.is_empty(), "{what}: outside at {:?}: {view:?}", strict.outside.first());
    assert!(strict.twice.is_empty(), "{what}: one over the other at {:?}: {view:?}", strict.twice.first());
}

fn by_strips(view: &View<'_>) -> Frame {
    let mut all = Frame::DARK;
    for place in 0..STRIPS {
        let mut strip = [0xff; 128];
        draw_strip(view, place, &mut strip);
        all.put(place, &strip);
    }
    all
}

fn with_maker(seed: u64, reach: Reach, try_with: impl FnOnce(&mut Maker<'_>)) {
    let (code, short) = release();
    let mut buffers = SymbolBuffers::new();
    let symbol = Symbol::of(&code, &mut buffers).expect("a symbol");
    try_with(&mut Maker { rng: Rng::with_seed(seed), reach, symbol: &symbol, short });
}

#[test]
fn nothing_is_drawn_outside_or_over_another_in_any_screen() {
    let (code, short) = release();
    let mut buffers = SymbolBuffers::new();
    let symbol = Symbol::of(&code, &mut buffers).expect("a symbol");
    for shown in gallery(&symbol, short) {
        check_fits(shown.name, &shown.view);
    }
}

#[test]
fn whatever_a_site_brings_about_fits() {
    with_maker(1, Reach::Site, |maker| {
        for _ in 0..VIEWS {
            check_fits("random", &maker.view());
        }
    });
}

#[test]
fn strips_give_the_same_picture_as_the_whole() {
    with_maker(2, Reach::Site, |maker| {
        for _ in 0..VIEWS / 10 {
            let view = maker.view();
            assert!(by_strips(&view) == frame(&view), "{view:?}");
        }
    });
}

#[test]
fn no_value_of_a_view_panics() {
    with_maker(3, Reach::Types, |maker| {
        for _ in 0..VIEWS {
            let _ = frame(&maker.view());
        }
    });
}

/// Lit points of the heading's box: a bar has it filled, a frame has it empty but for the words.
fn heading_is_a_bar(view: &View<'_>) -> bool {
    let frame = frame(view);
    let lit = (0..128).filter(|&x| frame.is_lit(x, 20)).count();
    let edges = (0..128).filter(|&x| frame.is_lit(x, 19)).count();
    assert_eq!(edges, 128, "a frame or a bar has its upper edge");
    assert!(lit == 2 || lit == 128, "below the edge there is nothing of the words yet");
    lit == 128
}

#[test]
fn only_what_may_be_done_has_a_frame() {
    let status = |state| View::Fixing(gallery::head(640), Page::Status(state));
    for ground in Ground::ALL {
        let grounds = Grounds::only(ground);
        let may = May { grounds, lacks: Lacks::NONE };
        for state in [
            State::NotInjected(may),
            State::Refused { grounds, now: May::YES },
            State::DoNotLoad { grounds, at: None },
            State::AcceptedAsIs { grounds },
            State::Removed { grounds },
            State::TooLate,
        ] {
            assert!(heading_is_a_bar(&status(state)), "{state:?}");
        }
    }
    for lack in Lack::ALL {
        let may = May { grounds: Grounds::NONE, lacks: Lacks::NONE.with(lack) };
        assert!(heading_is_a_bar(&status(State::NotInjected(may))), "{lack:?}");
    }
    for held in [Held::TooCold, Held::TooWarm, Held::NoReadings] {
        assert!(heading_is_a_bar(&status(State::Wait(Wait::Held(held)))), "{held:?}");
        assert!(heading_is_a_bar(&View::Fixing(gallery::head(640), Page::NotYet(Wait::Held(held)))), "{held:?}");
    }
    let torque = holdoff_core::quantity::Torque::from_hundredths(4_000);
    for state in [
        State::NotInjected(May::YES),
        State::TorqueNow { range: gallery::range(3_800, 4_200), too_low: Some(torque) },
        State::Cured { at: None },
        State::MayBeLoaded { torque, at: None },
    ] {
        assert!(!heading_is_a_bar(&status(state)), "{state:?}");
    }
}

#[test]
fn a_question_with_no_chosen_differs_from_one_with_yes_and_a_demo_from_what_is_for_use() {
    with_maker(4, Reach::Site, |maker| {
        use holdoff_core::resin::ResinUse;
        for _ in 0..VIEWS / 4 {
            let View::Fixing(head, page) = maker.view() else { continue };
            let with = |resin| frame(&View::Fixing(holdoff_firmware::view::Head { resin, ..head }, page));
            assert!(with(ResinUse::Demo) != with(ResinUse::OnSite), "{page:?}");
            if let Page::Question { question, .. } = page {
                use holdoff_firmware::view::Answer;
                let with = |answer| frame(&View::Fixing(head, Page::Question { question, answer }));
                assert!(with(Answer::No) != with(Answer::Yes), "{question:?}");
            }
        }
    });
}
