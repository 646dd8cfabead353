//! A job as SVG at full size for a machine that reads SVG: what is cut, in its order, and nothing else.
//!
//! One user unit is one millimeter, y down. The zero of the user coordinates is the machine's: the lower left corner
//! or the middle. Each layer of the job is a group that bears its name; there are no words.

use kurbo::{Affine, Rect};

use super::svg::{PLACES, SvgPen, XMLNS, number};
use crate::kernel::Vertex;
use crate::milling::{MillCut, MillJob, MillPath, layers};
use crate::shop::RouterZero;

/// Width of the lines in mm: a hair.
const HAIR: &str = "0.1";

/// The job's cuts as the text of an SVG file, the page as large as what is worked. The same job gives the same bytes.
pub(crate) fn write(job: &MillJob, zero: RouterZero) -> String {
    let home = -zero.of(job.area).to_vec2();
    let page = job.area + home;
    let [width, height] = [page.width(), page.height()].map(|side| number(side, PLACES));
    let mut pen = SvgPen::new(0.0);
    pen.open("svg");
    pen.attribute("height", &format!("{height}mm"));
    pen.attribute("version", "1.1");
    pen.attribute("viewBox", &view(page, [&width, &height]));
    pen.attribute("width", &format!("{width}mm"));
    pen.attribute("xmlns", XMLNS);
    pen.text(">\n");
    for (layer, cuts) in layers(job) {
        group(&mut pen, &layer.name(), cuts, Affine::translate(home));
    }
    pen.finish()
}

/// What the page shows: its y runs down from the zero's.
fn view(page: Rect, [width, height]: [&str; 2]) -> String {
    format!("{} {} {width} {height}", number(page.x0, PLACES), number(-page.y1, PLACES))
}

fn group(pen: &mut SvgPen, name: &str, cuts: &[MillCut], home: Affine) {
    pen.open("g");
    pen.attribute("fill", "none");
    pen.attribute("id", name);
    pen.attribute("stroke", "#000");
    pen.attribute("stroke-width", HAIR);
    pen.text(">\n");
    for cut in cuts {
        match &cut.path {
            MillPath::Closed(contour) => pen.closed(&contour.transformed(home)),
            MillPath::Broken { runs, .. } => {
                runs.iter().for_each(|run| pen.open_line(&moved(run, home)));
            }
            MillPath::Circle { center, radius } => pen.circle(home * *center, *radius),
        }
    }
    pen.text("</g>\n");
}

fn moved(run: &[Vertex], by: Affine) -> Vec<Vertex> {
    run.iter().map(|vertex| Vertex { at: by * vertex.at, ..*vertex }).collect()
}
