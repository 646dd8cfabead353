//! The frame of a DXF file: header, tables, blocks, entities, objects.
//!
//! No more than the DXF reference needs: R12 is content with header, tables and entities; R2000
//! wants all nine tables, the two layout blocks and a root dictionary, each with its handle.

use std::collections::BTreeSet;

use kurbo::{Point, Rect};

use super::codes::Codes;
use super::handle::{self, STANDARD};
use super::{Dialect, Entity, Version, entity};
use crate::length::Units;
use crate::milling::{ContourKind, JobLayer};

/// The only line pattern in use.
const CONTINUOUS: &str = "CONTINUOUS";

/// Color 7: white on black or black on white.
const WHITE: i32 = 7;

const NO_RECORDS: &[&str] = &[];

/// The whole file; `bounds` is what a viewer should show at first.
pub(super) fn write(entities: &[Entity], bounds: Rect, options: Dialect) -> String {
    let mut body = Codes::new(options, handle::FIRST);
    body.section("TABLES", |codes| tables(codes, entities, bounds));
    if body.has_handles() {
        body.section("BLOCKS", blocks);
    }
    body.section("ENTITIES", |codes| entities.iter().for_each(|e| entity::write(codes, e)));
    if body.has_handles() {
        body.section("OBJECTS", objects);
    }
    let mut file = Codes::new(options, body.next_handle());
    file.section("HEADER", |codes| header(codes, bounds));
    file.append(&body);
    file.word(0, "EOF");
    file.finish()
}

/// `$INSUNITS` and `$MEASUREMENT` are younger than R12, yet nothing else in a file tells mm from
/// inches to the program that reads it: both versions state them. `ezdxf` takes them in R12 too.
fn header(codes: &mut Codes, bounds: Rect) {
    let version = match codes.options.version {
        Version::R2000 => "AC1015",
        Version::R12 => "AC1009",
    };
    let (unit, metric) = match codes.options.units {
        Units::Inches => (1, 0),
        Units::Millimeters => (4, 1),
    };
    codes.word(9, "$ACADVER");
    codes.word(1, version);
    codes.word(9, "$DWGCODEPAGE");
    codes.word(3, "ANSI_1252");
    codes.word(9, "$INSUNITS");
    codes.whole(70, unit);
    codes.word(9, "$MEASUREMENT");
    codes.whole(70, metric);
    codes.word(9, "$EXTMIN");
    codes.point_3d(10, Point::new(bounds.x0, bounds.y0));
    codes.word(9, "$EXTMAX");
    codes.point_3d(10, Point::new(bounds.x1, bounds.y1));
    if codes.has_handles() {
        codes.word(9, "$HANDSEED");
        codes.handle(5, codes.next_handle());
    }
}

fn tables(codes: &mut Codes, entities: &[Entity], bounds: Rect) {
    table(codes, "VPORT", &["*ACTIVE"], |codes, name| viewport(codes, name, bounds));
    let patterns: &[&str] =
        if codes.has_handles() { &["BYBLOCK", "BYLAYER", CONTINUOUS] } else { &[CONTINUOUS] };
    table(codes, "LTYPE", patterns, |codes, name| pattern(codes, name));
    let used: BTreeSet<JobLayer> = entities.iter().map(|e| e.layer).collect();
    let layers: Vec<(String, i32)> = std::iter::once(("0".to_owned(), WHITE))
        .chain(used.into_iter().map(|layer| (layer.name(), color(layer))))
        .collect();
    table(codes, "LAYER", &layers, |codes, (name, color)| {
        name_and_flags(codes, name);
        codes.whole(62, *color);
        codes.word(6, CONTINUOUS);
    });
    table(codes, "STYLE", &[STANDARD], |codes, name| style(codes, name));
    if codes.has_handles() {
        table(codes, "VIEW", NO_RECORDS, |_, _| {});
        table(codes, "UCS", NO_RECORDS, |_, _| {});
        table(codes, "APPID", &["ACAD"], |codes, name| name_and_flags(codes, name));
        table(codes, "DIMSTYLE", NO_RECORDS, |_, _| {});
        block_records(codes);
    }
}

/// The color of a layer, a number of the color index (DXF reference, group code 62): cuts stand out, what is not cut
/// is gray.
fn color(layer: JobLayer) -> i32 {
    let [red, yellow, green, cyan, blue, magenta, gray, light_gray] = [1, 2, 3, 4, 5, 6, 8, 9];
    match layer {
        JobLayer::Contour { kind: ContourKind::Outline, .. } => red,
        JobLayer::Contour { kind: ContourKind::Opening, .. } => blue,
        JobLayer::Drilling { sink: false, .. } | JobLayer::Dowel { .. } => green,
        JobLayer::Drilling { sink: true, .. } => magenta,
        JobLayer::Pocket { .. } => cyan,
        JobLayer::Bridge { .. } => yellow,
        JobLayer::Mark | JobLayer::MarkBelow | JobLayer::MarkDowel | JobLayer::Sheet => gray,
        JobLayer::Note => light_gray,
    }
}

/// A table with one record for each of `records`; `fill` writes what stands in it.
fn table<T>(codes: &mut Codes, name: &str, records: &[T], fill: impl Fn(&mut Codes, &T)) {
    let head = codes.new_handle();
    table_head(codes, name, head, records.len());
    for record in records {
        codes.object(name, head, "AcDbSymbolTableRecord");
        codes.class(record_class(name));
        fill(codes, record);
    }
    codes.word(0, "ENDTAB");
}

fn table_head(codes: &mut Codes, name: &str, handle: u32, count: usize) {
    codes.word(0, "TABLE");
    codes.word(2, name);
    codes.identity(handle, handle::NONE, "AcDbSymbolTable");
    codes.whole(70, i32::try_from(count).unwrap_or(i32::MAX));
    if name == "DIMSTYLE" {
        codes.class("AcDbDimStyleTable");
    }
}

fn record_class(table: &str) -> &'static str {
    match table {
        "VPORT" => "AcDbViewportTableRecord",
        "LTYPE" => "AcDbLinetypeTableRecord",
        "LAYER" => "AcDbLayerTableRecord",
        "STYLE" => "AcDbTextStyleTableRecord",
        "APPID" => "AcDbRegAppTableRecord",
        _ => "AcDbBlockTableRecord",
    }
}

fn name_and_flags(codes: &mut Codes, name: &str) {
    codes.word(2, name);
    codes.whole(70, 0);
}

/// The view at first: all of `bounds` with some room around it.
fn viewport(codes: &mut Codes, name: &str, bounds: Rect) {
    name_and_flags(codes, name);
    for (code, corner) in [(10, Point::new(0.0, 0.0)), (11, Point::new(1.0, 1.0))] {
        codes.number(code, corner.x);
        codes.number(code + 10, corner.y);
    }
    codes.point(12, bounds.center());
    codes.length(40, 1.2 * bounds.width().max(bounds.height()));
    codes.number(41, 1.0);
}

/// A line pattern without gaps.
fn pattern(codes: &mut Codes, name: &str) {
    name_and_flags(codes, name);
    codes.word(3, "");
    codes.whole(72, i32::from(b'A'));
    codes.whole(73, 0);
    codes.number(40, 0.0);
}

/// A text style in the plain font that every reader has, height told by each text.
fn style(codes: &mut Codes, name: &str) {
    name_and_flags(codes, name);
    codes.number(40, 0.0);
    codes.number(41, 1.0);
    codes.number(50, 0.0);
    codes.whole(71, 0);
    codes.number(42, 1.0);
    codes.word(3, "txt");
    codes.word(4, "");
}

/// The two layouts every file has, with handles that their blocks refer to.
const LAYOUTS: [(u32, &str); 2] =
    [(handle::MODEL_SPACE, "*Model_Space"), (handle::PAPER_SPACE, "*Paper_Space")];

fn block_records(codes: &mut Codes) {
    const TABLE: &str = "BLOCK_RECORD";
    table_head(codes, TABLE, handle::BLOCK_RECORDS, LAYOUTS.len());
    for (record, name) in LAYOUTS {
        codes.word(0, TABLE);
        codes.identity(record, handle::BLOCK_RECORDS, "AcDbSymbolTableRecord");
        codes.class(record_class(TABLE));
        codes.word(2, name);
    }
    codes.word(0, "ENDTAB");
}

fn blocks(codes: &mut Codes) {
    for (record, name) in LAYOUTS {
        codes.object("BLOCK", record, "AcDbEntity");
        codes.word(8, "0");
        codes.class("AcDbBlockBegin");
        name_and_flags(codes, name);
        codes.point_3d(10, Point::ZERO);
        codes.word(3, name);
        codes.word(1, "");
        codes.object("ENDBLK", record, "AcDbEntity");
        codes.word(8, "0");
        codes.class("AcDbBlockEnd");
    }
}

/// The root dictionary and the list of groups it must hold, which is empty.
fn objects(codes: &mut Codes) {
    codes.word(0, "DICTIONARY");
    codes.identity(handle::ROOT, handle::NONE, "AcDbDictionary");
    codes.word(3, "ACAD_GROUP");
    codes.handle(350, handle::GROUPS);
    codes.word(0, "DICTIONARY");
    codes.identity(handle::GROUPS, handle::ROOT, "AcDbDictionary");
}
