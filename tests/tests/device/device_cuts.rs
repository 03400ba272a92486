//! Power goes at any moment: what was acknowledged is there, the count goes on, and nothing comes earlier.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Stage, Status};
use holdoff_core::log::ResetCause;
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Answer, Item, Page, View};
use holdoff_tests::fake_board::{Bench, plan, planned_as, records, trusted};
use holdoff_tests::random::{histories, numbers};

/// The next thing to do to the fixing, if it is time for it.
fn next_item(status: &Status) -> Option<Item> {
    match status.stage {
        Stage::Planned | Stage::Refused => Some(Item::Inject),
        Stage::Working => Some(Item::Seat),
        Stage::Cured(_) => Some(Item::Torqued),
        Stage::Curing
        | Stage::Held
        | Stage::Released(_)
        | Stage::Rejected(_)
        | Stage::AcceptedAsIs(_)
        | Stage::Removed(_) => None,
    }
}

/// What is known of a fixing: what may not be lost once it was shown.
fn facts(status: &Status) -> [Option<i64>; 4] {
    let released = match status.stage {
        Stage::Released(released) => Some(released.at().seconds()),
        Stage::Planned
        | Stage::Refused
        | Stage::Working
        | Stage::Curing
        | Stage::Held
        | Stage::Cured(_)
        | Stage::Rejected(_)
        | Stage::AcceptedAsIs(_)
        | Stage::Removed(_) => None,
    };
    [status.injected_at, status.seated_at, status.cured_at]
        .map(|at| at.map(|at| at.seconds()))
        .into_iter()
        .chain([released])
        .collect::<Vec<_>>()
        .try_into()
        .expect("four")
}

/// Presses what leads to the item being done; as far as it goes while the power may be gone.
fn act(bench: &mut Bench, item: Item) {
    bench.press(Press::Down);
    for _ in 0..30 {
        let press = bench.view(|view| match view {
            View::Fixing(_, Page::Menu { chosen, .. }) if *chosen == item => Some(Press::Select),
            View::Fixing(_, Page::Menu { .. }) => Some(Press::Down),
            View::Fixing(_, Page::Question { answer: Answer::No, .. }) => Some(Press::Right),
            View::Fixing(_, Page::Question { answer: Answer::Yes, .. } | Page::EnterTorque { .. }) => {
                Some(Press::Select)
            }
            View::Fixing(_, Page::EnterCartridge { .. } | Page::Status(_)) => Some(Press::Select),
            View::Fixing(_, Page::Notice(_)) => None,
            View::Dark | View::Overview(_) | View::Fault(_) | View::Start(_) => Some(Press::Down),
            View::Fixing(..) => Some(Press::Up),
            View::NoJob(_) | View::Link(_) => None,
        });
        let Some(press) = press else { return };
        let confirms = bench.view(|view| matches!(view, View::Fixing(_, Page::Question { answer: Answer::Yes, .. })));
        bench.press(press);
        if confirms {
            return;
        }
    }
}

#[test]
fn what_was_acknowledged_outlives_any_cut_and_no_release_comes_earlier() {
    let (mut cuts, mut released, mut inside) = (0, 0, 0);
    for history in 0..histories(100) {
        let mut next = numbers(0xC075 + history);
        let bench = <Bench>::new();
        bench.world.borrow_mut().byte = 1 + next() % 90;
        let mut bench = planned_as(bench, &plan(1));
        let mut known = facts(&bench.status(0));
        let mut seated = None;
        for round in 0..200 {
            let status = bench.status(0);
            // a fact that was known stays as it was
            for (before, now) in known.iter().zip(facts(&status)) {
                assert!(
                    before.is_none() || *before == now,
                    "history {history}, round {round}: {known:?} and {status:?}"
                );
            }
            known = facts(&status);
            seated = seated.or(status.seated_at.map(|at| at.seconds()));
            match status.stage {
                Stage::Cured(cured) => assert!(cured.at().seconds() >= seated.expect("seated") + 3600),
                Stage::Released(_) | Stage::Rejected(_) => break,
                Stage::Planned
                | Stage::Refused
                | Stage::Working
                | Stage::Curing
                | Stage::Held
                | Stage::AcceptedAsIs(_)
                | Stage::Removed(_) => {}
            }
            // the power goes in the middle of a write, or at any time
            if next() % 3 == 0 {
                bench.world.borrow_mut().memory.cut_after = Some(next() % 700);
            }
            match next_item(&status) {
                Some(item) if next() % 3 > 0 => act(&mut bench, item),
                Some(_) | None => bench.run((next() % 600) as i64),
            }
            let dead = bench.world.borrow().dead;
            if !dead && next() % 3 > 0 {
                // nothing of it was lost so far
                let status = bench.status(0);
                for (before, now) in known.iter().zip(facts(&status)) {
                    assert!(before.is_none() || *before == now, "{known:?} and {status:?}");
                }
                known = facts(&status);
                bench.world.borrow_mut().memory.cut_after = None;
                continue;
            }
            (cuts, inside) = (cuts + 1, inside + usize::from(dead));
            if !dead {
                known = facts(&bench.status(0)); // shown, and so on record
            }
            let outage = next() % [2, 30, 400][(next() % 3) as usize];
            bench.world.borrow_mut().now += outage * 1_000_000 + next() % 1_000_000;
            bench.boot([ResetCause::PowerOn, ResetCause::Watchdog, ResetCause::BrownOut][(next() % 3) as usize]);
            bench.run(8);
        }
        trusted(&bench);
        let unfed = bench.world.borrow().longest_unfed;
        assert!(unfed < 30_000_000, "a watchdog would have bitten after {unfed} us");
        if let Stage::Released(_) = bench.stage(0) {
            released += 1;
            bench.run(5);
            let signed = records(&bench.image())
                .iter()
                .any(|record| matches!(record, holdoff_core::log::Record::Release { .. }));
            assert!(signed, "a release is signed after whatever cut");
        }
    }
    assert!(cuts > 500 && inside > 100 && released > 50, "{cuts} cuts, {inside} inside a write, {released} released");
}
