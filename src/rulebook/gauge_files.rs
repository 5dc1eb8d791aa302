//! The files of gauges/ in one folder.

use std::collections::BTreeMap;

use super::written::GaugeFile;
use crate::problem::{Code, Problem, Report};
use crate::source::parse::Spanned;
use crate::source::{FileId, Span, Texts, parse};

/// Reads one. What somebody left out of it cannot be guessed.
pub(super) fn read(
    to: &mut Vec<Spanned<GaugeFile>>,
    file: FileId,
    texts: &Texts,
    report: &mut Report,
) {
    let read = parse::whole_in_spite(texts, file);
    read.slips.iter().for_each(|slip| report.add(Problem::slip(texts, slip)));
    to.extend(read.value.filter(|_| !read.guessed));
}

/// That a folder sets the same size twice: nobody sees which of the two holds.
pub(super) fn twice(files: &[Spanned<GaugeFile>], texts: &Texts, report: &mut Report) {
    let mut seen: BTreeMap<(&str, &str), Span> = BTreeMap::new();
    for (what, id) in files.iter().flat_map(|file| file.value.names()) {
        if let Some(first) = seen.insert((what, &id.text), id.span) {
            let message = format!("the {what} `{id}` is set a second time");
            let problem = Problem::at(Code::TwiceNamed, texts.place(id.span), message)
                .also(texts.place(first), "set here first");
            report.add(problem.help("keep one of the two"));
        }
    }
}
