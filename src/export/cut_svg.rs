//! A job as SVG at full size for a machine that reads SVG: what is cut, in its order, and nothing else.
//!
//! One user unit is one millimeter, y down. The zero of the user coordinates is the machine's: the lower left corner
//! or the middle. Each layer of the job is a group that bears its name; there are no words.

use kurbo::{Affine, Rect};
use svg::Document;
use svg::node::element::Group;

use super::svg::{Flip, PLACES, number, shape};
use crate::kernel::Vertex;
use crate::milling::{MillCut, MillJob, MillPath, layers};
use crate::shop::RouterZero;

/// Width of the lines in mm: a hair.
const HAIR: &str = "0.1";

/// The job's cuts as the text of an SVG file, the page as large as what is worked. The same job gives the same bytes.
pub(crate) fn write(job: &MillJob, zero: RouterZero) -> String {
    let home = -zero.of(job.area).to_vec2();
    let page = job.area + home;
    let size = [page.width(), page.height()].map(|side| number(side, PLACES));
    let document = Document::new()
        .set("version", "1.1")
        .set("width", format!("{}mm", size[0]))
        .set("height", format!("{}mm", size[1]))
        .set("viewBox", view(page, &size));
    let home = Affine::translate(home);
    let document = layers(job)
        .fold(document, |document, (layer, cuts)| document.add(group(&layer.name(), cuts, home)));
    format!("{document}\n")
}

/// What the page shows: its y runs down from the zero's.
fn view(page: Rect, [width, height]: &[String; 2]) -> String {
    format!("{} {} {width} {height}", number(page.x0, PLACES), number(-page.y1, PLACES))
}

fn group(name: &str, cuts: &[MillCut], home: Affine) -> Group {
    let group = Group::new()
        .set("id", name)
        .set("fill", "none")
        .set("stroke", "#000")
        .set("stroke-width", HAIR);
    let flip = Flip { height: 0.0 };
    cuts.iter().fold(group, |group, cut| match &cut.path {
        MillPath::Closed(contour) => group.add(shape(flip.closed(&contour.transformed(home)))),
        MillPath::Broken { runs, .. } => {
            runs.iter().fold(group, |group, run| group.add(shape(flip.open(&moved(run, home)))))
        }
        MillPath::Circle { center, radius } => group.add(flip.circle(home * *center, *radius)),
    })
}

fn moved(run: &[Vertex], by: Affine) -> Vec<Vertex> {
    run.iter().map(|vertex| Vertex { at: by * vertex.at, ..*vertex }).collect()
}
