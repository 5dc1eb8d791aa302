//! All runs that are kept, by who made them.

use super::DrillBook;
use super::run::made_again;
use crate::commands::Streams;
use crate::drill::learners::{self, Learner};
use crate::drill::record::{Record, Store};
use crate::drill::worth::Worth;
use crate::kept::StoreError;
use crate::visit::Diagnosis;

/// Everybody who gave a name, and what could not be read. Runs of older programs are made again to see what they were
/// worth.
///
/// # Errors
/// If the folder of the runs cannot be read.
pub(super) fn all(
    room: &DrillBook,
    store: &Store,
    streams: &mut Streams,
) -> Result<(Vec<Learner>, Vec<StoreError>), StoreError> {
    let kept = store.look_at_all()?;
    let diagnosis = Diagnosis::new(&room.book);
    let mut worth = |record: &Record| {
        let drill = record.drill(&room.book).ok()?;
        made_again(record, &drill, &diagnosis, streams).map(|world| Worth::of(&world))
    };
    Ok((learners::learners(&kept.records, &mut worth), kept.bad))
}
