//! Screens that were reached by buttons, held against what they should be and against their kept pictures.
//!
//! A view is written down in the test for the moment: numbers, temperature, time, seconds, grounds. It is drawn by the same
//! code on the PC, and the display must show it point by point. Its kept picture is the one of `docs/screens`, where the numbers
//! are the same, else one of this moment in `tests/screens`; `HOLDOFF_DRAW=1` draws those anew.
use super::gallery::{gallery, release};
use super::kind::kind;
use holdoff_core::resin::ResinUse;
use holdoff_core::seal::{Symbol, SymbolBuffers};
use holdoff_firmware::screen::frame;
use holdoff_firmware::view::View;
use holdoff_tests::emulator::Photo;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// Where the pictures of `docs/screens.md` are.
fn in_docs(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/screens").join(format!("{name}.png"))
}

/// Where the pictures of these moments are.
fn kept_here(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("screens").join(format!("{name}.png"))
}

/// Every screen of `docs/screens.md`, with its kind.
fn kinds() -> BTreeMap<&'static str, String> {
    let (code, short) = release();
    let mut buffers = SymbolBuffers::new();
    let symbol = Symbol::of(&code, &mut buffers).expect("a symbol");
    gallery(&symbol, short).iter().map(|shown| (shown.name, kind(&shown.view))).collect()
}

/// Names of every screen of `docs/screens.md`.
pub(crate) fn every_screen() -> BTreeSet<&'static str> {
    kinds().into_keys().collect()
}

/// What is signed is another with every second of the log before it, so no picture of it is kept but the one in the docs.
const SIGNED: [&str; 2] = ["code", "short"];

/// What a scene has reached so far.
pub(crate) struct Seen {
    kinds: BTreeMap<&'static str, String>,
    reached: BTreeSet<&'static str>,
}

impl Seen {
    pub(crate) fn nothing() -> Self {
        Self { kinds: kinds(), reached: BTreeSet::new() }
    }

    /// The display shows this view, which is the screen of that name.
    pub(crate) fn see(&mut self, name: &'static str, view: &View<'_>, display: &Photo) {
        let expected = Photo::of(&frame(view));
        assert!(*display == expected, "{name}: {view:?}{expected:?}is expected, and there is{display:?}");
        assert_eq!(Some(&kind(view)), self.kinds.get(name), "{name} is another screen");
        if name.starts_with("demo") {
            assert!(matches!(view, View::Fixing(head, _) if head.resin == ResinUse::Demo), "{name}: {view:?}");
        }
        assert!(self.reached.insert(name), "{name} was reached already");
        if SIGNED.contains(&name) {
            return;
        }
        let same_in_docs = Photo::read(&in_docs(name)).is_ok_and(|kept| kept == expected);
        let here = kept_here(name);
        if std::env::var_os("HOLDOFF_DRAW").is_some() {
            let _ = std::fs::remove_file(&here);
            if !same_in_docs {
                std::fs::create_dir_all(here.parent().expect("a folder")).expect("a folder");
                expected.save(&here).expect("written");
            }
        } else if same_in_docs {
            assert!(!here.exists(), "{name} needs no picture of its own");
        } else {
            let kept = Photo::read(&here).unwrap_or_else(|error| panic!("{name}: {error}"));
            assert!(kept == expected, "{name}: {kept:?}is kept, and there is{expected:?}");
        }
    }

    /// Everything was reached that this scene is for, and nothing else.
    pub(crate) fn are(&self, wanted: &[&'static str]) {
        let wanted: BTreeSet<&str> = wanted.iter().copied().collect();
        let missing: Vec<_> = wanted.difference(&self.reached).collect();
        let more: Vec<_> = self.reached.difference(&wanted).collect();
        assert!(missing.is_empty() && more.is_empty(), "not reached: {missing:?}; not listed: {more:?}");
    }
}

/// Names that have a picture of their own moment.
pub(crate) fn pictures_here() -> BTreeSet<String> {
    let folder = kept_here("x").with_file_name("");
    let files = std::fs::read_dir(folder).expect("tests/screens");
    files
        .map(|file| file.expect("a file").path())
        .map(|path| path.file_stem().expect("a name").to_string_lossy().into_owned())
        .collect()
}
