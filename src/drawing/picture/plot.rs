//! From edges that are seen to strokes on paper.

use std::collections::{HashMap, HashSet};

use kurbo::Point;

use crate::drawing::canvas::Canvas;
use crate::drawing::{Line, Path};
use crate::kernel::Vertex;
use crate::solid::{SeenLine, Shell, View};

/// Places on a picture come in hundredths of a millimeter.
const STEP: f64 = 100.0;

/// A place in such steps.
type Dot = (i64, i64);

/// From the holder's mm in a view to mm on paper.
#[derive(Debug, Clone, Copy)]
pub(in crate::drawing) struct PictureScale(pub f64);

impl PictureScale {
    /// The largest at which all of `bounds` has room in `width` by `height` mm.
    pub(super) fn fitting(bounds: kurbo::Rect, width: f64, height: f64) -> Self {
        Self((width / bounds.width()).min(height / bounds.height()).min(MOST))
    }

    pub(in crate::drawing) fn at(self, place: Point) -> Point {
        (place.to_vec2() * self.0).to_point()
    }
}

/// No picture is larger than the thing.
const MOST: f64 = 1.0;

/// The box around bodies on the paper of a view, in mm of the holder.
pub(super) fn extent<'s>(
    view: &View,
    shells: impl IntoIterator<Item = &'s Shell>,
) -> Option<kurbo::Rect> {
    let points = shells.into_iter().flat_map(|shell| &shell.points);
    let points = points.map(|point| view.on_paper(*point));
    points.map(|at| kurbo::Rect::from_points(at, at)).reduce(|a, b| a.union(b))
}

/// Draws what is seen, each line once, those that follow one another as one stroke.
pub(in crate::drawing) fn strokes(
    canvas: &mut Canvas,
    kind: Line,
    scale: PictureScale,
    seen: &[SeenLine],
) {
    for run in runs(seen, scale) {
        let vertex = |(x, y): &Dot| Vertex::line(*x as f64 / STEP, *y as f64 / STEP);
        canvas.stroke(kind, Path::Open(run.iter().map(vertex).collect()));
    }
}

fn runs(seen: &[SeenLine], scale: PictureScale) -> Vec<Vec<Dot>> {
    let dot = |at: Point| {
        let at = scale.at(at).to_vec2() * STEP;
        (at.x.round() as i64, at.y.round() as i64)
    };
    let mut known: HashSet<(Dot, Dot)> = HashSet::new();
    let sides = seen.iter().map(|line| (dot(line.from), dot(line.to)));
    let sides = sides.filter(|(a, b)| a != b);
    let sides: Vec<(Dot, Dot)> =
        sides.filter(|(a, b)| known.insert(if a < b { (*a, *b) } else { (*b, *a) })).collect();
    let mut at: HashMap<Dot, Vec<usize>> = HashMap::new();
    for (i, (a, b)) in sides.iter().enumerate() {
        at.entry(*a).or_default().push(i);
        at.entry(*b).or_default().push(i);
    }
    let mut drawn = vec![false; sides.len()];
    let mut runs = Vec::new();
    for first in 0..sides.len() {
        if drawn[first] {
            continue;
        }
        drawn[first] = true;
        let mut run = vec![sides[first].0, sides[first].1];
        for _ in 0..2 {
            while let Some(next) =
                run.last().and_then(|end| at.get(end)?.iter().copied().find(|side| !drawn[*side]))
            {
                drawn[next] = true;
                let (a, b) = sides[next];
                run.push(if run.last() == Some(&a) { b } else { a });
            }
            run.reverse();
        }
        runs.push(straightened(run));
    }
    runs
}

/// The run without places between two others on one line.
fn straightened(run: Vec<Dot>) -> Vec<Dot> {
    let mut kept: Vec<Dot> = Vec::with_capacity(run.len());
    for dot in run {
        if let [.., a, b] = kept[..] {
            let (way, on) = ((b.0 - a.0, b.1 - a.1), (dot.0 - b.0, dot.1 - b.1));
            if way.0 * on.1 == way.1 * on.0 && way.0 * on.0 + way.1 * on.1 > 0 {
                kept.pop();
            }
        }
        kept.push(dot);
    }
    kept
}
