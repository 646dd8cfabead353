//! Figures of the shop and of the stock that is chosen.

use super::Values;
use crate::formula::Value;
use crate::length::{Dimension, Quantity};
use crate::shop::find_wood;
use crate::strength::allowable;

impl Values<'_> {
    /// Figures of the shop and of chosen stock: `sheet.thickness`, `cleat.width`, `saw.kerf`.
    pub(super) fn property(&self, name: &str) -> Option<Value> {
        let (of, property) = name.split_once('.')?;
        let cleat = &self.shop.cleat;
        let millimeters = match (of, property) {
            ("cleat", "thickness") => cleat.thickness,
            ("cleat", "width") => cleat.width,
            ("cleat", "rise") => cleat.rise(),
            ("cleat", "screw_line") => {
                cleat.screw_line(self.shop.wall.screw, self.shop.tape(self.units))
            }
            ("cleat", "bevel") => return Some(Quantity::degrees(cleat.bevel).into()),
            ("wall", "stud_spacing") => self.shop.wall.stud_spacing,
            ("wall", "stud_width") => self.shop.wall.stud_width,
            ("wall", "covering") => self.shop.wall.covering,
            ("wall", "screw_length") => self.shop.wall.screw_length,
            ("wall", "screw") => return Some(Value::Word(self.shop.wall.screw.to_string())),
            ("wall", "held_by") => {
                return Some(Value::Word(self.shop.wall.held_by().to_owned()));
            }
            ("wall", "masonry") => return Some(Value::Truth(self.shop.wall.masonry.is_some())),
            ("wall", "screws") => {
                return Some(Quantity::number(self.shop.wall.screws as f64).into());
            }
            ("saw", "kerf") => self.shop.kerf,
            ("router", "joint_bit") => self.shop.router?.joint,
            ("router", "bit") => self.shop.router?.outline,
            ("router", "narrowest") => self.shop.router?.narrowest(),
            (stock, "stiffness" | "strength") => {
                let wood = find_wood(self.given.stocks.get(stock)?.wood_name()).wood;
                let may = allowable(wood, self.shop.service);
                let value = if property == "stiffness" { may.stiffness } else { may.bending };
                let dimension = Dimension::FORCE.per(Dimension::AREA);
                return Some(Quantity { value, dimension }.into());
            }
            (stock, "solid") => {
                let wood = find_wood(self.given.stocks.get(stock)?.wood_name()).wood;
                return Some(Value::Truth(!wood.kind.is_panel()));
            }
            (stock, "thickness") => self.given.stocks.get(stock)?.thickness,
            (stock, "width") => self.given.stocks.get(stock)?.width,
            (stock, "length") => self.given.stocks.get(stock)?.length,
            _ => return None,
        };
        Some(Quantity::mm(millimeters).into())
    }
}
