//! A site's own folder, and the folders that it stands over: their files, and what is known of those that cannot be read.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use serde::Deserialize;

use super::part::{Part, part};
use super::rules::{Broken, Rules};
use crate::problem::{Code, Problem, Report};
use crate::source::parse::{Spanned, Text};
use crate::source::{FileId, Place, Texts, folder, parse};

/// No more folders are laid over each other.
const MOST_LAYERS: usize = 4;

/// The folder, and those that it says it stands over; the lowest first.
pub(super) fn laid_folders(
    site: &Path,
    texts: &mut Texts,
    report: &mut Report,
) -> Vec<(PathBuf, Own)> {
    let mut all = Vec::new();
    let mut next = Some(site.to_owned());
    while let Some(dir) = next.take() {
        let own = site_files(&dir, texts, report);
        let file = own.files.iter().find(|(_, inside)| inside == "site.ron");
        let below = file.and_then(|(file, _)| below(texts, *file));
        let whole = own.holds("book.ron");
        all.push((dir.clone(), own));
        let Some(below) = below.filter(|_| !whole) else { break };
        if all.len() == MOST_LAYERS {
            let message = format!("more than {MOST_LAYERS} folders stand over each other");
            let problem = Problem::at(Code::Circle, texts.place(below.span), message);
            report.add(problem.help("is one of them named twice?"));
            break;
        }
        next = Some(dir.join(&below.text));
    }
    all.reverse();
    all
}

/// The folder that a site.ron says it stands over. What else is wrong with it is told when it is read as a whole.
fn below(texts: &Texts, file: FileId) -> Option<Text> {
    #[derive(Deserialize)]
    struct Below {
        #[serde(default)]
        over: Option<Text>,
    }
    parse::whole::<Below>(texts, file).ok()?.value.over
}

/// The folder, and those that it stands over as far as that can be read: the paths alone.
pub fn layers(site: &Path) -> Vec<PathBuf> {
    let mut all = vec![site.to_owned()];
    while let Some(dir) = all.last().filter(|_| all.len() < MOST_LAYERS)
        && let Ok(text) = folder::text(&dir.join("site.ron"))
    {
        let mut texts = Texts::default();
        let file = texts.add("site.ron", text);
        let Some(below) = below(&texts, file) else { break };
        all.push(dir.join(&below.text));
    }
    all
}

/// The files of a site's folder, and what is known of those that cannot be read.
#[derive(Default)]
pub(super) struct Own {
    pub(super) files: Vec<(FileId, String)>,
    refused: Vec<String>,
    pub(super) broken: Broken,
}

impl Own {
    pub(super) fn holds(&self, inside: &str) -> bool {
        self.files.iter().any(|(_, known)| known == inside)
            || self.refused.iter().any(|known| known == inside)
    }
}

fn site_files(site: &Path, texts: &mut Texts, report: &mut Report) -> Own {
    if site.is_file() {
        let place = Place::file(site.display().to_string());
        report.add(
            Problem::at(Code::Unreadable, place, "this is a file; rules are read from a folder")
                .help("name the folder"),
        );
        return Own::default();
    }
    let folder = folder::read(site, texts);
    for refused in &folder.refused {
        report.add(Problem::refused_file(refused));
    }
    for place in folder.again {
        report.add(
            Problem::at(
                Code::FolderAgain,
                place,
                "this link leads to a folder that is read already, perhaps in a circle; it was not followed",
            )
            .help("take the link away"),
        );
    }
    for place in folder.near_misses {
        report.add(
            Problem::at(Code::FileName, place, "this file is not read")
                .help("names of rule files end in .ron, in small letters, and nothing after it"),
        );
    }
    if folder.files.is_empty() && folder.refused.is_empty() {
        let place = Place::file(site.display().to_string());
        report.add(Problem::at(Code::NoEntries, place, "this folder holds no rule files").help("is this the right folder? `straybelt rules export DIR` writes the default book to look at"));
    }
    let mut own = Own { files: folder.files, ..Own::default() };
    for refused in folder.refused {
        let Some(inside) = refused.inside else { continue };
        if let Some(kind) = part(&inside).and_then(Part::kind) {
            match refused.text {
                // Tools have names, and no ids to be found.
                Some(text) if kind != "tool" => {
                    // Only their words are of use: no place in this text is one of the file.
                    let none = texts.add(inside.clone(), String::new());
                    let names = parse::names(none, &text).into_iter();
                    own.broken.names.extend(names.map(|id| (kind, id.text)));
                }
                _ => {
                    own.broken.unsure.insert(kind);
                }
            }
        }
        own.refused.push(inside);
    }
    own
}

/// That a folder is a whole book whose book.ron is missing: laid over the default book it would be told of once for
/// every entry.
pub(super) fn whole_without_its_book(base: &Rules, over: &Rules, site: &Path) -> Option<Problem> {
    fn again<T>(base: &[Spanned<T>], over: &[Spanned<T>], id: fn(&T) -> &Text) -> (usize, usize) {
        let known: BTreeSet<&str> = base.iter().map(|entry| id(entry).text.as_str()).collect();
        let again = over.iter().filter(|entry| known.contains(id(entry).text.as_str()));
        (again.count(), over.len())
    }
    let parts = [
        again(&base.symptoms, &over.symptoms, |entry| &entry.id),
        again(&base.causes, &over.causes, |entry| &entry.id),
        again(&base.fixes, &over.fixes, |entry| &entry.id),
    ];
    let (again, all) = parts.iter().fold((0, 0), |sum, part| (sum.0 + part.0, sum.1 + part.1));
    if again < MANY_AGAIN || 2 * again < all {
        return None;
    }
    let place = Place::file(site.display().to_string());
    let message = format!(
        "{again} entries of this folder stand in the default book too, and the folder holds no book.ron"
    );
    let problem = Problem::at(Code::NoEntries, place, message);
    Some(
        problem
            .help("if it is a whole book, its book.ron is missing or has another name: `straybelt rules export DIR` writes one")
            .help("if it is a site's folder, keep what is new in it, and change the rest with `change` in site.ron"),
    )
}

/// So many entries of the default book in a site's folder are no slip of a single entry.
const MANY_AGAIN: usize = 10;
