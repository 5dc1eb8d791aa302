//! The conveyors of Ostrel Quay on which drills are drawn. All of them are invented.
//!
//! With the pull that it needs the return strand of each dips by 0.8 to 2.5 % of its roll spacing: by less, every one of
//! its drills would look like a belt that is too tight.

/// A conveyor.
#[derive(Debug, Clone, Copy)]
pub struct Kind {
    /// What people call it.
    pub name: &'static str,
    /// What it carries.
    pub carries: &'static str,
    /// Its data in the words of a conveyor file.
    pub data: &'static str,
}

/// All of them, each drawn as often as any other.
pub const KINDS: &[Kind] = &[
    Kind {
        name: "OQ-04",
        carries: "damp salt",
        data: r#"(
            name: "OQ-04 salt reclaim", class: "troughed-bulk", reversing: "no", crowned: "no",
            carcass: "fabric", take_up: "screw", place: "indoors",
            sides: (left: "walkway", right: "wall"), bearings: "roller",
            centres: "38 m", speed: "1.25 m/s",
            belt: (width: "800 mm", mass: "10 kg/m"), load: (mass: "45 kg/m"),
            idlers: (carry_pitch: "1.2 m", return_pitch: "3 m", trough_angle: "30 deg", foot_spacing: "1000 mm"),
            tail: (diameter: "400 mm", face: "950 mm", bearing_centres: "1150 mm"),
            head: (diameter: "500 mm", face: "950 mm"),
        )"#,
    },
    Kind {
        name: "OQ-07",
        carries: "gravel",
        data: r#"(
            name: "OQ-07 gravel stacker feed", class: "troughed-bulk", reversing: "no", crowned: "yes",
            carcass: "fabric", take_up: "screw", place: "outdoors",
            sides: (left: "stair", right: "pile"), bearings: "roller",
            centres: "30 m", speed: "1.5 m/s",
            belt: (width: "900 mm", mass: "12 kg/m"), load: (mass: "60 kg/m"),
            idlers: (carry_pitch: "1.2 m", return_pitch: "3 m", trough_angle: "35 deg", foot_spacing: "1100 mm"),
            tail: (diameter: "400 mm", face: "1050 mm", crown: "3 mm", bearing_centres: "1300 mm"),
            head: (diameter: "500 mm", face: "1050 mm", crown: "3 mm"),
        )"#,
    },
    Kind {
        name: "OQ-02",
        carries: "bulk from the ships",
        data: r#"(
            name: "OQ-02 ship unloader feed, second line", class: "troughed-bulk", reversing: "no", crowned: "no",
            carcass: "fabric", take_up: "gravity", place: "outdoors",
            sides: (left: "water", right: "land"), bearings: "roller",
            centres: "62 m", speed: "2 m/s",
            belt: (width: "1000 mm", mass: "13 kg/m"), load: (mass: "70 kg/m"),
            idlers: (carry_pitch: "1.2 m", return_pitch: "3.5 m", trough_angle: "35 deg", foot_spacing: "1200 mm"),
            tail: (diameter: "500 mm", face: "1150 mm", bearing_centres: "1400 mm"),
            head: (diameter: "630 mm", face: "1150 mm"),
        )"#,
    },
    Kind {
        name: "OQ-12",
        carries: "grain",
        data: r#"(
            name: "OQ-12 silo gallery", class: "troughed-bulk", reversing: "no", crowned: "no",
            carcass: "fabric", take_up: "gravity", place: "indoors",
            sides: (left: "window", right: "silo"), bearings: "roller",
            centres: "55 m", speed: "2.2 m/s",
            belt: (width: "800 mm", mass: "9 kg/m"), load: (mass: "35 kg/m"),
            idlers: (carry_pitch: "1.2 m", return_pitch: "3 m", trough_angle: "30 deg", foot_spacing: "1000 mm"),
            tail: (diameter: "400 mm", face: "950 mm", bearing_centres: "1150 mm"),
            head: (diameter: "500 mm", face: "950 mm"),
        )"#,
    },
    Kind {
        name: "OQ-11",
        carries: "salt to either bay",
        data: r#"(
            name: "OQ-11 reversing shuttle", class: "troughed-bulk", reversing: "yes", crowned: "no",
            carcass: "fabric", take_up: "screw", place: "indoors",
            sides: (left: "crane", right: "bay"), bearings: "roller",
            centres: "24 m", speed: "1.5 m/s",
            belt: (width: "800 mm", mass: "10 kg/m"), load: (mass: "45 kg/m"),
            idlers: (carry_pitch: "1.2 m", return_pitch: "3 m", trough_angle: "30 deg", foot_spacing: "1000 mm"),
            tail: (diameter: "400 mm", face: "950 mm", bearing_centres: "1150 mm"),
            head: (diameter: "400 mm", face: "950 mm"),
        )"#,
    },
    Kind {
        name: "OQ-18",
        carries: "filled bags",
        data: r#"(
            name: "OQ-18 bag belt", class: "package", troughed: "no", reversing: "no", crowned: "yes",
            carcass: "fabric", take_up: "screw", place: "indoors",
            sides: (left: "aisle", right: "press"), bearings: "ball",
            centres: "12 m", speed: "0.5 m/s",
            belt: (width: "600 mm", mass: "4 kg/m", modulus: "400 N/mm"), load: (mass: "6 kg/m"),
            idlers: (carry_pitch: "1 m", return_pitch: "2 m", foot_spacing: "760 mm"),
            tail: (diameter: "200 mm", face: "680 mm", crown: "1.1 mm", bearing_centres: "800 mm"),
            head: (diameter: "200 mm", face: "680 mm", crown: "1.1 mm"),
            screws: (load: "1.2 kN"),
        )"#,
    },
];
