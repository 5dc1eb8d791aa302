//! The conveyor loader.

#![no_main]

use libfuzzer_sys::fuzz_target;
use straybelt::conveyor;
use straybelt::show::paint::Paint;
use straybelt::show::problem::page;
use straybelt::source::unprintable;

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let problems = match conveyor::parse("conveyor", text.to_owned()) {
        Ok((_, warnings)) => warnings,
        Err(problems) => problems.0,
    };
    for problem in &problems {
        let shown = page(problem, 40, Paint::NONE);
        assert!(
            !shown.chars().any(|c| unprintable(c) && c != '\n'),
            "{shown}"
        );
    }
});
