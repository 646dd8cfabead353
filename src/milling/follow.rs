//! From edges to the way of the bit's center, broken where bridges stand.

use kurbo::Point;

use super::bridge::Bridge;
use super::job::{Jobs, MillCut, MillJob, MillPath};
use crate::kernel::{Contour, OffsetError, Segment, Vertex};
use crate::tolerance::COORDINATE;

impl Jobs {
    /// The same jobs with the way of the bit's center in place of edges.
    ///
    /// # Errors
    /// As of [`MillJob::along_bit`].
    pub(crate) fn along_bit(&self) -> Result<Self, OffsetError> {
        Ok(Self {
            front: self.front.along_bit()?,
            back: self.back.as_ref().map(MillJob::along_bit).transpose()?,
        })
    }
}

impl MillJob {
    /// The same job with the way of the bit's center in place of every milled edge; contours are broken where
    /// bridges stand. Holes stay as they are.
    ///
    /// # Errors
    /// When a bit has no room in an opening or a pocket, or does not reach an edge.
    pub(crate) fn along_bit(&self) -> Result<Self, OffsetError> {
        let cuts = self.cuts.iter().map(|cut| self.cut_along_bit(cut));
        Ok(Self { cuts: cuts.collect::<Result<_, _>>()?, by_center: true, ..self.clone() })
    }

    fn cut_along_bit(&self, cut: &MillCut) -> Result<MillCut, OffsetError> {
        let MillPath::Closed(contour) = &cut.path else { return Ok(cut.clone()) };
        let bit = self.bit_of(cut);
        let path = begun_beside(contour, contour.path_of_bit(bit, cut.work.side())?, bit);
        let width = self.hold.map_or(0.0, |hold| hold.bridge_width);
        let path = match broken(&path, &cut.bridges, bit, width + bit) {
            Some(broken) => broken,
            None => MillPath::Closed(path),
        };
        Ok(MillCut { path, ..cut.clone() })
    }
}

/// The path begun beside where its edge begins.
fn begun_beside(edge: &Contour, path: Contour, bit: f64) -> Contour {
    let Some(first) = edge.segments().next() else { return path };
    let Some((index, share)) = beside(&path, first.start, bit) else { return path };
    path.begun_at(index, share)
}

/// Where the path is nearest to a point of its edge: on which segment, and how far along it; `None` where it does
/// not pass there half a bit away.
fn beside(path: &Contour, at: Point, bit: f64) -> Option<(usize, f64)> {
    let segments = path.segments().enumerate();
    let nearest = segments.map(|(index, segment)| {
        let share = segment.nearest_share(at);
        ((segment.point_at(share) - at).hypot(), index, share)
    });
    let (apart, index, share) = nearest.min_by(|a, b| a.0.total_cmp(&b.0))?;
    ((apart - bit / 2.0).abs() <= COORDINATE).then_some((index, share))
}

/// The path with a gap beside each bridge; `None` where there is none.
fn broken(path: &Contour, bridges: &[Bridge], bit: f64, gap: f64) -> Option<MillPath> {
    let mut spots: Vec<(usize, f64)> =
        bridges.iter().filter_map(|bridge| beside(path, bridge.at, bit)).collect();
    spots.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut stretches: Vec<(bool, Segment)> = Vec::new();
    for (index, segment) in path.segments().enumerate() {
        let half = gap / 2.0 / segment.length();
        let mut from = 0.0;
        for (_, share) in spots.iter().filter(|(on, _)| *on == index) {
            let (start, end) = ((share - half).max(from), (share + half).min(1.0));
            stretches.push((false, segment.stretch(from, start)));
            stretches.push((true, segment.stretch(start, end)));
            from = end;
        }
        stretches.push((false, segment.stretch(from, 1.0)));
    }
    stretches.retain(|(_, segment)| (segment.end - segment.start).hypot() > COORDINATE);
    // Begin behind the first bridge.
    let first = stretches.iter().position(|(is_gap, _)| *is_gap)?;
    stretches.rotate_left(first + 1);
    let (mut runs, mut gaps) = (Vec::new(), Vec::new());
    for stretch in stretches.chunk_by(|a, b| a.0 == b.0) {
        let is_gap = stretch.first().is_some_and(|(is_gap, _)| *is_gap);
        let line = joined(stretch.iter().map(|(_, segment)| *segment));
        if is_gap { gaps.push(line) } else { runs.push(line) }
    }
    Some(MillPath::Broken { runs, gaps })
}

fn joined(segments: impl Iterator<Item = Segment>) -> Vec<Vertex> {
    let mut line: Vec<Vertex> = Vec::new();
    let mut end = None;
    for segment in segments {
        line.push(Vertex { at: segment.start, bulge: segment.bulge });
        end = Some(segment.end);
    }
    line.extend(end.map(|at| Vertex { at, bulge: 0.0 }));
    line
}
