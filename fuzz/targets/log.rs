#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| glost_fuzz::log(bytes));
