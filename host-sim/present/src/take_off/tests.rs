#![allow(clippy::unwrap_used, clippy::panic, reason = "a test that cannot go on should stop there")]

use super::{object, table};
use crate::words::Speech;
use holdoff_files::job::{BlowWith, JobFile};
use holdoff_files::resin_file::ResinFile;
use holdoff_site::take_off::{Note, Spare, TakeOff, take_off};

const DEMO: &str = include_str!("../../../demo/quay-job.toml");
const RESIN: &str = include_str!("../../../demo/harbour-slow.toml");

fn file(text: &str) -> JobFile {
    match JobFile::examine("j.toml", text, |name| ResinFile::parse(name, RESIN)) {
        Ok(file) => file,
        Err(findings) => panic!("{}", findings.problems().next().unwrap()),
    }
}

fn with(from: &str, to: &str) -> JobFile {
    assert!(DEMO.contains(from), "{from}");
    file(&DEMO.replacen(from, to, 1))
}

fn spare(percent: u32) -> Spare {
    Spare::from_hundredths(percent * 100).unwrap()
}

fn notes(take_off: &TakeOff<'_>, group: usize) -> Vec<Note> {
    take_off.groups[group].notes.clone()
}

#[test]
fn the_demo_job_needs_what_can_be_reckoned_by_hand() {
    let file = file(DEMO);
    let found = take_off(&file, spare(10));
    // 4, 12, 24, 18 fixings and a tenth more, rounded up
    assert_eq!(found.groups.iter().map(|needs| needs.holes).collect::<Vec<_>>(), [5, 14, 27, 20]);
    // capping beam bars: π/4 20² 400 x 2/3 = 83775.8 µl a hole, 20 holes, 345 - 10 - 8 = 327 ml a cartridge: 5.12
    let bars = &found.groups[3];
    assert_eq!(bars.volumes.fill.microlitres(), 83_776);
    assert_eq!(bars.resin.microlitres(), 1_675_520);
    assert_eq!(bars.cartridges.map(|found| (found.cartridges, found.nozzles, found.a_hole)), Some((6, 6, 1)));
    // π/4 (20² - 16²) 400 = 45238.9 µl around, nothing below
    assert_eq!((bars.volumes.annulus.microlitres(), bars.volumes.below.microlitres()), (45_239, 0));
    // 83.776 ml at 90 ml/min: 55.85 s; the cartridge at 12 °C + 1.0 °C decides: the band from 10 °C, 25 min
    assert_eq!((bars.filling.seconds, bars.filling.working.map(|span| span.seconds())), (Some(56), Some(1_500)));
    // deeper than 150 mm: one tube a nozzle, at least as long as the hole
    assert_eq!(bars.tubes.map(|(length, number)| (length.to_string(), number)), Some(("400".to_owned(), 6)));
    // the pause of the pipe hangers costs a nozzle, and they hang overhead
    let hangers = &found.groups[2];
    assert_eq!(hangers.cartridges.map(|found| (found.cartridges, found.nozzles)), Some((1, 2)));
    assert_eq!((hangers.centring_pieces, hangers.blow_with), (27, Some(BlowWith::HandPump)));
    assert_eq!((found.total.cartridges, found.total.nozzles, found.total.holes), (Some(9), Some(10), 66));
    assert!(found.groups.iter().all(|needs| needs.notes.is_empty()) && found.short.is_empty());
}

#[test]
fn a_slow_pump_a_wide_hole_and_a_small_cartridge_are_told() {
    // 83.776 ml at 3.3 ml/min: 1523.2 s, longer than 25 min
    let slow = with("pumping_ml_per_min = 90", "pumping_ml_per_min = 3.3");
    assert_eq!(notes(&take_off(&slow, spare(0)), 3), [Note::FillTooSlow]);
    // just in time: 83.776 ml in 1500 s needs 3.351 ml/min and a hair more
    let little = with("pumping_ml_per_min = 90", "pumping_ml_per_min = 3.4");
    assert_eq!(notes(&take_off(&little, spare(0)), 3), [Note::LittleTimeLeft]);
    let wide = with("hole_diameter_mm = 18", "hole_diameter_mm = 32");
    let found = take_off(&wide, spare(0));
    assert_eq!(notes(&found, 0), [Note::FillTooSmall]);
    assert_eq!(found.groups[0].volumes.inject(), found.groups[0].volumes.needed());
    let small = with("cartridge_ml = 345", "cartridge_ml = 90");
    let found = take_off(&small, spare(0));
    assert_eq!(notes(&found, 3), [Note::CartridgeChange]);
    assert_eq!(found.short, [("HS-2107-04".to_owned(), 20, found.total.cartridges.unwrap())]);
    assert!(table(&found, Speech::PLAIN).contains("batch HS-2107-04: there are 20 cartridges, and its groups need"));
}

#[test]
fn what_the_job_file_does_not_say_is_not_guessed() {
    let start = DEMO.find("[supplies]").unwrap();
    let end = DEMO.find("[[batch]]").unwrap();
    let without = file(&format!("{}{}", &DEMO[..start], &DEMO[end..]));
    let found = take_off(&without, spare(0));
    assert_eq!((found.total.cartridges, found.total.nozzles), (None, None));
    assert_eq!(notes(&found, 0), [Note::NoPumpingRate]);
    let text = table(&found, Speech::PLAIN);
    assert!(text.contains("cartridges and nozzles: not known") && text.contains("holes_per_brush"), "{text}");
    let json = serde_json::to_value(object(&found)).unwrap();
    assert!(json["total"]["cartridges"].is_null() && json["groups"][0]["fill_s"].is_null());
    let cold = with("expected_c = 6.0\n", "");
    assert_eq!(notes(&take_off(&cold, spare(0)), 0), [Note::NoTemperature]);
    let neither = with("pumping_ml_per_min = 90\n", "");
    assert_eq!(notes(&take_off(&neither, spare(0)), 0), [Note::NoPumpingRate]);
}

#[test]
fn air_tubes_and_centring_follow_the_rules_of_the_trade_at_their_edges() {
    let group = |change: &[(&str, &str)]| {
        let text = change.iter().fold(DEMO.to_owned(), |text, (from, to)| text.replacen(from, to, 1));
        let made = file(&text);
        let found = take_off(&made, spare(0));
        (found.groups[0].blow_with, found.groups[0].tubes.is_some(), found.groups[0].brushes.is_some())
    };
    let silent = ("blow_with = \"compressed-air\"\n", "");
    let m12 = ("size = \"M16\"", "size = \"M12\"");
    // wider than 16 mm
    assert_eq!(group(&[silent]).0, Some(BlowWith::CompressedAir));
    assert_eq!(group(&[silent, m12, ("hole_diameter_mm = 18", "hole_diameter_mm = 16")]).0, Some(BlowWith::HandPump));
    // deeper than 12 diameters: 144 mm for M12
    let narrow = ("hole_diameter_mm = 18", "hole_diameter_mm = 14");
    assert_eq!(
        group(&[silent, m12, narrow, ("hole_depth_mm = 130", "hole_depth_mm = 144")]).0,
        Some(BlowWith::HandPump)
    );
    let deeper = group(&[silent, m12, narrow, ("hole_depth_mm = 130", "hole_depth_mm = 144.001")]).0;
    assert_eq!(deeper, Some(BlowWith::CompressedAir));
    // a tube for more than 150 mm
    assert!(!group(&[("hole_depth_mm = 130", "hole_depth_mm = 150")]).1);
    assert!(group(&[("hole_depth_mm = 130", "hole_depth_mm = 150.001")]).1);
    // a dust-extracting bit leaves nothing to blow or brush
    let bit = ("cleaning = \"blow 4, brush 4, blow 4\"", "cleaning = \"dust-extracting bit\"");
    assert_eq!(group(&[silent, bit]), (None, false, false));
}

#[test]
fn more_fixings_or_more_spare_never_need_less() {
    let mut random = fastrand::Rng::with_seed(3);
    for _ in 0..400 {
        let (number, more) = (random.u32(1..400), random.u32(0..20));
        let cartridge = random.u32(60..900);
        let pauses = random.u32(0..3);
        let job = |number: u32| {
            let loggers = vec!["1"; number as usize].join(", ");
            let text = DEMO.replacen("number = 18", &format!("number = {number}\npauses = {pauses}"), 1);
            let text = text.replacen("loggers = [9, 9]", &format!("loggers = [{loggers}]"), 1);
            file(&text.replacen("cartridge_ml = 345", &format!("cartridge_ml = {cartridge}"), 1))
        };
        let (few, many) = (job(number), job(number + more));
        let percents = Spare::from_hundredths(random.u32(..20_000)).unwrap();
        let larger = Spare::from_hundredths(percents.hundredths() + random.u32(..3_000)).unwrap();
        let figures = |found: &TakeOff<'_>| {
            let needs = &found.groups[3];
            let cartridges = needs.cartridges.unwrap();
            let brushes = needs.brushes.map_or(0, |(_, number)| number);
            let tubes = needs.tubes.map_or(0, |(_, number)| number);
            [needs.holes, needs.resin.microlitres(), cartridges.cartridges, cartridges.nozzles, brushes, tubes]
        };
        let base = figures(&take_off(&few, percents));
        for more in [figures(&take_off(&many, percents)), figures(&take_off(&few, larger))] {
            assert!(base.iter().zip(more).all(|(less, more)| *less <= more), "{base:?} {more:?}");
        }
        // the cartridges hold what is pressed out of them, and one fewer would not
        let usable = u64::from(cartridge) * 1000 - 18_000;
        let pressed = base[1] + u64::from(pauses) * 10_000;
        assert!(base[2] * usable >= pressed && (base[2] - 1) * usable < pressed);
    }
}

#[test]
fn table_and_object_carry_the_cautions_and_agree() {
    let file = file(DEMO);
    let found = take_off(&file, Spare::from_hundredths(250).unwrap());
    let text = table(&found, Speech::PLAIN);
    assert!(text.contains("Never use it") && text.contains("printed instructions") && text.contains("Spare: 2.5 %."));
    let json = serde_json::to_value(object(&found)).unwrap();
    assert_eq!(json["spare_percent"], 2.5);
    let caution = json["caution"].as_str().unwrap();
    assert!(caution.contains("Never use it") && caution.contains("not a licence to load"));
    assert_eq!(json["total"]["holes"], found.total.holes);
    let resin: u64 = json["groups"].as_array().unwrap().iter().map(|group| group["resin_ul"].as_u64().unwrap()).sum();
    assert_eq!(json["total"]["resin_ul"], resin);
}
