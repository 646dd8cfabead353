//! Polylines, circles, lines, points and words as DXF entities.

use kurbo::Point;

use super::codes::Codes;
use super::handle::{self, STANDARD};
use super::{DxfText, Entity, Shape, WordsAt};
use crate::kernel::Vertex;

/// Flags of a closed polyline and of one with two ends.
const CLOSED: i32 = 1;
const OPEN: i32 = 0;

/// Flag of an entity with others in its train.
const VERTICES_FOLLOW: i32 = 1;

/// One entity in model space.
pub(super) fn write(codes: &mut Codes, entity: &Entity) {
    let layer = entity.layer.name();
    match &entity.shape {
        Shape::Closed(contour) => polyline(codes, &layer, contour.vertices(), CLOSED),
        Shape::Open(line) => polyline(codes, &layer, line, OPEN),
        Shape::Circle { center, radius } => {
            entity_head(codes, "CIRCLE", &layer, "AcDbCircle");
            codes.point_3d(10, *center);
            codes.length(40, *radius);
        }
        Shape::Line { from, to } => {
            entity_head(codes, "LINE", &layer, "AcDbLine");
            codes.point_3d(10, *from);
            codes.point_3d(11, *to);
        }
        Shape::Spot(at) => {
            entity_head(codes, "POINT", &layer, "AcDbPoint");
            codes.point_3d(10, *at);
        }
        Shape::Text(text) => words(codes, &layer, text),
    }
}

fn entity_head(codes: &mut Codes, kind: &str, layer: &str, class: &str) {
    codes.object(kind, handle::MODEL_SPACE, "AcDbEntity");
    codes.word(8, layer);
    codes.class(class);
}

fn polyline(codes: &mut Codes, layer: &str, line: &[Vertex], flag: i32) {
    if codes.has_handles() {
        light_polyline(codes, layer, line, flag);
    } else {
        heavy_polyline(codes, layer, line, flag);
    }
}

/// A polyline after R12: one entity whose vertices carry position and bulge.
fn light_polyline(codes: &mut Codes, layer: &str, line: &[Vertex], flag: i32) {
    entity_head(codes, "LWPOLYLINE", layer, "AcDbPolyline");
    codes.whole(90, i32::try_from(line.len()).unwrap_or(i32::MAX));
    codes.whole(70, flag);
    for vertex in line {
        codes.point(10, vertex.at);
        codes.number(42, vertex.bulge);
    }
}

/// A polyline in R12, which knows no classes: a head, an entity for each vertex, an end.
fn heavy_polyline(codes: &mut Codes, layer: &str, line: &[Vertex], flag: i32) {
    entity_head(codes, "POLYLINE", layer, "");
    codes.whole(66, VERTICES_FOLLOW);
    codes.point_3d(10, Point::ZERO);
    codes.whole(70, flag);
    for vertex in line {
        entity_head(codes, "VERTEX", layer, "");
        codes.point_3d(10, vertex.at);
        codes.number(42, vertex.bulge);
    }
    entity_head(codes, "SEQEND", layer, "");
}

fn words(codes: &mut Codes, layer: &str, text: &DxfText) {
    // How the words stand to the point, across and upward (DXF reference, TEXT, 72 and 73).
    let (across, upward) = match text.place {
        WordsAt::Start => (0, 0),
        WordsAt::BottomMiddle => (1, 1),
        WordsAt::Middle => (1, 2),
    };
    entity_head(codes, "TEXT", layer, "AcDbText");
    codes.point_3d(10, text.at);
    codes.length(40, text.height);
    codes.words(1, &text.words);
    codes.number(50, text.turn);
    codes.word(7, STANDARD);
    codes.whole(72, across);
    codes.point_3d(11, text.at);
    codes.class("AcDbText");
    codes.whole(73, upward);
}
