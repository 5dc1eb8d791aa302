//! The rule files are compiled in: a new or deleted one must lead to a new build.

fn main() {
    let mut out = std::io::stdout();
    let _ = std::io::Write::write_all(&mut out, b"cargo::rerun-if-changed=rules\n");
}
