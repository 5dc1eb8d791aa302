//! A debrief as text.

use super::{Debrief, path, told};
use crate::show::page::Screen;

/// The whole of it.
pub fn write(screen: Screen, debrief: &Debrief<'_, '_>) -> String {
    let mut out = told::worth(debrief).page(screen);
    if debrief.is_over() {
        out += &path::text(screen, &path::paths(debrief));
    }
    let afterwards = told::afterwards(debrief).page(screen);
    if !afterwards.is_empty() {
        out.push('\n');
    }
    out + &afterwards
}
