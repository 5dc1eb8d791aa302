use straybelt::drill::{draw, follow, told::told, trial, ways, world::World, moves::Move};
use straybelt::rulebook::load;
use straybelt::visit::Diagnosis;
#[test]
fn zz() {
    let book = load::default_book().unwrap();
    let diagnosis = Diagnosis::new(&book);
    let seed: u32 = 1980421434;
    let drill = draw::fresh(&diagnosis, seed).ok().unwrap();
    let mut world = World::begin(&drill, &diagnosis).unwrap();
    eprintln!("{:?}", world.faults());
    let _ = follow::follow(&diagnosis, &mut world);
    let mut again = World::begin(&drill, &diagnosis).unwrap();
    for step in world.steps() {
        if let Move::Work(fix) = step.what {
            let t = told(&again);
            let a = diagnosis.applicability(&again.facts().facts, &t);
            let said = straybelt::show::ways::said(&book, again.facts(), &a, fix);
            let rt = book.roles.belt_side.unwrap();
            eprintln!("{} outcomes {:?} faults {:?} toward {:?} strand {:?} place {:?}", book.fixes[fix].id, t.outcomes, again.faults(), a.answers[rt], a.answers[book.roles.strand.unwrap()], a.answers[book.roles.place.unwrap()]);
            for s in said.said { eprintln!("   {s:?} -> {:?}", ways::judge(&again, s)); }
        }
        again.make(step.what.clone()).ok().unwrap();
    }
}
