#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holdoff_tests::fuzz::decision(bytes));
