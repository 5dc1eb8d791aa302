//! Which file of a folder holds which part of the book.

/// What stands before the paths of the compiled-in files.
pub const BUILT_IN: &str = "built-in";

/// Which part of the book a file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Book,
    Site,
    Symptoms,
    Looks,
    Causes,
    Fixes,
    Cautions,
    Sources,
    Glossary,
    Tools,
    StopNow,
    EdgeRoom,
    Gauges,
}

pub(super) const PARTS: &[(&str, Part)] = &[
    ("book.ron", Part::Book),
    ("site.ron", Part::Site),
    ("symptoms/", Part::Symptoms),
    ("looks/", Part::Looks),
    ("causes/", Part::Causes),
    ("fixes/", Part::Fixes),
    ("cautions.ron", Part::Cautions),
    ("cautions/", Part::Cautions),
    ("sources.ron", Part::Sources),
    ("glossary.ron", Part::Glossary),
    ("tools.ron", Part::Tools),
    ("stop-now.ron", Part::StopNow),
    ("edge-room.ron", Part::EdgeRoom),
    ("gauges/", Part::Gauges),
];

impl Part {
    /// What its entries are called where they are named.
    pub(super) fn kind(self) -> Option<&'static str> {
        match self {
            Self::Symptoms => Some("symptom"),
            Self::Looks => Some("look"),
            Self::Causes => Some("cause"),
            Self::Fixes => Some("fix"),
            Self::Cautions => Some("caution"),
            Self::Sources => Some("source"),
            Self::Tools => Some("tool"),
            Self::Book
            | Self::Site
            | Self::Glossary
            | Self::StopNow
            | Self::EdgeRoom
            | Self::Gauges => None,
        }
    }
}

/// The part of the book that a file holds, by its path inside the folder.
pub(super) fn part(inside: &str) -> Option<Part> {
    PARTS
        .iter()
        .find(|(path, _)| *path == inside || (path.ends_with('/') && inside.starts_with(path)))
        .map(|(_, part)| *part)
}
