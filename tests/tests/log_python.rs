//! dump
use holdoff_core::log::{DeviceId, Finding, mount};
use holdoff_tests::log_history::{apply, random_life};
use holdoff_tests::memory::FakeMemory;
use holdoff_tests::random::numbers;
#[test]
fn dump() {
    std::fs::create_dir_all("/tmp/py/d").unwrap();
    for seed in 0..60u64 {
        let mut rng = numbers(seed + 7_000_000);
        let life = random_life(&mut rng);
        let memory = FakeMemory::blank(life.size, life.part_page);
        let mut logger = mount(memory, DeviceId(*b"tests-03"), &mut |_: Finding| {}, &mut |_| {}).expect("blank").0;
        for op in &life.ops {
            let _ = apply(&mut logger, op);
        }
        let image = logger.memory().bytes();
        std::fs::write(format!("/tmp/py/d/{seed}.bin"), image).unwrap();
        let json = match holdoff::memory_image::list(image) {
            Ok(l) => holdoff::memory_image::listing_json(&l),
            Err(e) => e,
        };
        std::fs::write(format!("/tmp/py/d/{seed}.json"), json).unwrap();
    }
}
