//! Group codes: a DXF file is lines in twos, a number that says what comes and the value.

use std::fmt::Write;

use kurbo::Point;

use super::{Dialect, Version, text};
use crate::export::fixed::fixed;

/// A run of group codes under way. Lengths go in as mm and come out in the file's unit.
pub(super) struct Codes {
    pub(super) options: Dialect,
    out: String,
    next_handle: u32,
}

impl Codes {
    /// Handles are given out from `first_handle` on.
    pub(super) fn new(options: Dialect, first_handle: u32) -> Self {
        Self { options, out: String::new(), next_handle: first_handle }
    }

    /// Whether the file knows handles, owners and subclasses: all versions after R12 do.
    pub(super) fn has_handles(&self) -> bool {
        self.options.version == Version::R2000
    }

    /// The first handle not given out yet.
    pub(super) fn next_handle(&self) -> u32 {
        self.next_handle
    }

    pub(super) fn finish(self) -> String {
        self.out
    }

    /// Group codes written apart.
    pub(super) fn append(&mut self, other: &Self) {
        self.out.push_str(&other.out);
    }

    /// A name or keyword of the format itself.
    pub(super) fn word(&mut self, code: i32, word: &str) {
        self.code(code);
        self.out.push_str(word);
        self.out.push_str("\r\n");
    }

    /// The number of a code, in three places at least.
    fn code(&mut self, code: i32) {
        // Writing to a String does not fail.
        let _ = write!(self.out, "{code:>3}\r\n");
    }

    /// Words from the part, which may hold anything.
    pub(super) fn words(&mut self, code: i32, words: &str) {
        self.word(code, &text::encode(words));
    }

    pub(super) fn whole(&mut self, code: i32, value: i32) {
        self.word(code, &value.to_string());
    }

    pub(super) fn handle(&mut self, code: i32, handle: u32) {
        self.word(code, &format!("{handle:X}"));
    }

    /// A plain number: a bulge, an angle.
    pub(super) fn number(&mut self, code: i32, value: f64) {
        self.code(code);
        self.decimal(value);
        self.out.push_str("\r\n");
    }

    /// `value` to ten decimals without trailing zeros, but with a point as readers of reals expect.
    /// Ten decimals are far below any tolerance in mm or in, and hide the last bits of sines, which
    /// differ from machine to machine.
    fn decimal(&mut self, value: f64) {
        fixed(value, 10, |text| {
            self.out.push_str(text);
            if !text.contains('.') {
                self.out.push_str(".0");
            }
        });
    }

    /// A length of `mm`.
    pub(super) fn length(&mut self, code: i32, mm: f64) {
        self.number(code, mm / self.options.units.in_mm());
    }

    /// A point in the plane: x under `code`, y under `code` + 10.
    pub(super) fn point(&mut self, code: i32, at: Point) {
        self.length(code, at.x);
        self.length(code + 10, at.y);
    }

    /// A point in space with z = 0 under `code` + 20.
    pub(super) fn point_3d(&mut self, code: i32, at: Point) {
        self.point(code, at);
        self.number(code + 20, 0.0);
    }

    pub(super) fn section(&mut self, name: &str, fill: impl FnOnce(&mut Self)) {
        self.word(0, "SECTION");
        self.word(2, name);
        fill(self);
        self.word(0, "ENDSEC");
    }

    /// The head of an object: its kind, then who it is, by a handle of its own.
    pub(super) fn object(&mut self, kind: &str, owner: u32, class: &str) {
        self.word(0, kind);
        let handle = self.new_handle();
        self.identity(handle, owner, class);
    }

    /// Handle, owner and class of an object. R12 knows none of them.
    pub(super) fn identity(&mut self, handle: u32, owner: u32, class: &str) {
        if self.has_handles() {
            self.handle(5, handle);
            self.handle(330, owner);
            self.class(class);
        }
    }

    /// The class that the codes to come belong to. R12 knows none.
    pub(super) fn class(&mut self, class: &str) {
        if self.has_handles() {
            self.word(100, class);
        }
    }

    /// A handle not given out before.
    pub(super) fn new_handle(&mut self) -> u32 {
        self.next_handle += 1;
        self.next_handle - 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decimal(value: f64) -> String {
        let mut codes = Codes::new(Dialect::default(), 1);
        codes.decimal(value);
        codes.finish()
    }

    #[test]
    fn reals_are_short_and_have_a_point() {
        assert_eq!(decimal(0.0), "0.0");
        assert_eq!(decimal(-1e-17), "0.0");
        assert_eq!(decimal(-12.70), "-12.7");
        assert_eq!(decimal(100.0), "100.0");
        assert_eq!(decimal(1.0 / 3.0), "0.3333333333");
    }
}
