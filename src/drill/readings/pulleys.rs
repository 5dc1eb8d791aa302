//! Tape and calipers at the end pulleys and their bearings.

use super::Site;
use super::hand::{CALIPERS, FINE, INFRARED, RULE};
use super::sheet::{Cell, Sheet};
use crate::gauge::Gauge;
use crate::gauge::{crown, heat, side_load, square, takeup};
use crate::mechanics::Fault;
use crate::trade::End;
use crate::trade::{Carcass, Side, TakeUp};

/// From the shaft to a line squared across near it, m.
const TO_LINE_M: f64 = 0.5;
/// From the mark on the frame to the shaft, both screws alike, m.
const TO_MARK_M: f64 = 0.6;
/// The crown on the diameter of a crowned pulley whose file does not tell it, m. Assumed: within what the trade
/// prints for wide and narrow faces alike.
const CROWN_M: f64 = 0.002;
/// Where diameters are taken, as shares of half the face from its middle to the right.
const PLACES: [f64; 7] = [-0.98, -0.6, -0.28, 0.0, 0.28, 0.6, 0.98];
/// The air, and what a bearing is warmer when it carries its usual load, C and K. Assumed, as is that the rise goes
/// with the load: no such law is published.
const AIR_C: f64 = 20.0;
const RISE_K: f64 = 20.0;
const ZERO_C_K: f64 = 273.15;

impl Site<'_> {
    /// Both end pulleys, each from a line squared off the belt's middle line.
    pub(super) fn square(&mut self, gauge: &'static Gauge) -> Vec<Option<Sheet>> {
        let ends = End::ALL.map(|end| self.square_of(gauge, end));
        ends.into_iter().collect()
    }

    fn square_of(&mut self, gauge: &'static Gauge, end: End) -> Option<Sheet> {
        let across_m = match end {
            End::Tail => self.line.take_up.bearing_centres_m,
            End::Head => self.filed("head.bearing_centres").unwrap_or(self.line.head.face_m + 0.2),
        };
        let skew_rad = self.sum(|fault| match *fault {
            Fault::SkewedPulley { end: of, skew_rad } if of == end => skew_rad,
            _ => 0.0,
        });
        let lead_m = match end {
            // The bearing that is further out is further from the head.
            End::Tail => across_m * skew_rad - self.screws_m(),
            End::Head => across_m * skew_rad,
        };
        // The line lies toward the other end: what is nearer to the head is nearer to it at the tail only.
        let nearer_m = match end {
            End::Tail => lead_m,
            End::Head => -lead_m,
        };
        let left_m = self.hand.reads(FINE, TO_LINE_M - 0.5 * nearer_m);
        let right_m = self.hand.reads(FINE, TO_LINE_M + 0.5 * nearer_m);
        Some(
            Sheet::of(gauge, "pulley")?
                .word(square::key::PULLEY, end.name())
                .word(square::key::TO, "line")
                .size(square::key::LEFT, left_m)
                .size(square::key::RIGHT, right_m)
                .size(square::key::ACROSS, across_m)
                .size(square::key::BEARINGS, across_m)
                // The line is drawn square.
                .size(square::key::LINE_ERROR, 0.0)
                .size(square::key::ERROR, FINE.off),
        )
    }

    /// Both end pulleys.
    pub(super) fn crown(&mut self, gauge: &'static Gauge) -> Vec<Option<Sheet>> {
        let ends = End::ALL.map(|end| self.crown_of(gauge, end));
        ends.into_iter().collect()
    }

    fn crown_of(&mut self, gauge: &'static Gauge, end: End) -> Option<Sheet> {
        let pulley = *self.line.pulley(end);
        let drawn_m = self.drawn_crown_m(end);
        let left = self.faults.iter().map(|fault| match *fault {
            Fault::WornCrown { end: of, share } if of == end => 1.0 - share,
            _ => 1.0,
        });
        let crown_m = drawn_m * left.product::<f64>();
        let thicker_m = self.sum(|fault| match *fault {
            Fault::CakedPulley { end: of, left_thicker_m } if of == end => left_thicker_m,
            _ => 0.0,
        });
        let mut sheet = Sheet::of(gauge, "diameters")?
            .word(crown::key::PULLEY, end.name())
            .size(crown::key::FACE, pulley.face_m)
            .size(crown::key::DRAWN, drawn_m);
        for place in PLACES {
            // A crown as an arc; a cone whose radius differs by so much from end to end.
            let diameter_m = 2.0 * pulley.radius_m - crown_m * place * place - thicker_m * place;
            let diameter_m = self.hand.reads(CALIPERS, diameter_m);
            let place_m = (0.5 * pulley.face_m * (1.0 + place) * 1000.0).round() / 1000.0;
            sheet.row([
                (crown::key::PLACE, Cell::Size(place_m)),
                (crown::key::DIAMETER, Cell::Size(diameter_m)),
            ]);
        }
        Some(sheet)
    }

    /// The crown that the drawing shows, on the diameter.
    fn drawn_crown_m(&self, end: End) -> f64 {
        let flat = self.line.pulley(end).crown_m == 0.0
            || self.conveyor.facts().carcass() == Some(Carcass::SteelCord);
        self.filed(&format!("{}.crown", end.name())).unwrap_or(if flat { 0.0 } else { CROWN_M })
    }

    /// Both take-up bearings from marks on the frame. What the pulley itself is askew does not show here: the blocks
    /// are measured, not the shaft's ends.
    pub(super) fn take_up(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let (mut left_m, mut right_m) = (TO_MARK_M, TO_MARK_M);
        for fault in self.faults {
            if let Fault::Screws { left_m: left, right_m: right } = *fault {
                left_m += left;
                right_m += right;
            }
        }
        let (left_m, right_m) = (self.hand.reads(RULE, left_m), self.hand.reads(RULE, right_m));
        Some(
            Sheet::of(gauge, "shaft")?
                .word(takeup::key::MARKS, "inward")
                .size(takeup::key::LEFT, left_m)
                .size(takeup::key::RIGHT, right_m)
                .known(takeup::key::BEARING_CENTRES, self.line.take_up.bearing_centres_m)
                .known(takeup::key::CENTRES, self.line.centres_m)
                .known(takeup::key::WIDTH, self.line.belt.width_m),
        )
    }

    /// What one take-up bearing further out than the other does to both, worked out on paper. Nothing on a conveyor
    /// without screws.
    pub(super) fn side_load(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let out_m = self.screws_m();
        let screws = self.conveyor.facts().take_up();
        if out_m == 0.0 && screws.is_some_and(|take_up| take_up != TakeUp::Screw) {
            return None;
        }
        let moved_m = self.hand.reads(RULE, out_m.abs());
        let line = self.line;
        Some(
            Sheet::of(gauge, "screw")?
                // A screw that has moved by nothing has moved to neither side.
                .side(side_load::key::SIDE, Side::of_sign(out_m).unwrap_or(Side::Left))
                .size(side_load::key::MOVED, moved_m)
                .size(side_load::key::ERROR, RULE.off)
                .known(side_load::key::LOAD, 0.5 * (line.carry.tension_n + line.ret.tension_n))
                .known(side_load::key::WIDTH, line.belt.width_m)
                .known(side_load::key::BEARING_CENTRES, line.take_up.bearing_centres_m)
                .known(side_load::key::CENTRES, line.centres_m)
                .known(side_load::key::MODULUS, line.belt.modulus_n_per_m),
        )
    }

    /// Both bearings of the tail pulley. Assumed: each is warmer than the air in proportion to what it carries.
    pub(super) fn heat(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let loads = self.stand.belt.loads();
        let usual_n = 0.5 * (self.line.carry.tension_n + self.line.ret.tension_n);
        let mut warm = |load_n: f64| {
            let rise_k = RISE_K * (load_n / usual_n).max(0.0);
            self.hand.reads(INFRARED, AIR_C + rise_k) + ZERO_C_K
        };
        let (left_k, right_k) = (warm(loads.left_n), warm(loads.right_n));
        let air_k = self.hand.reads(INFRARED, AIR_C) + ZERO_C_K;
        Some(
            Sheet::of(gauge, "infrared")?
                .size(heat::key::LEFT, left_k)
                .size(heat::key::RIGHT, right_k)
                .size(heat::key::AMBIENT, air_k)
                .size(heat::key::ERROR, INFRARED.off),
        )
    }
}
