//! The one closed path of an SVG file, in true size.
//!
//! Sizes after SVG 1.1, 7.2 and 7.10 (units) and 7.7 to 7.8 (viewBox and preserveAspectRatio):
//! 1 in is 25.4 mm and 96 px.

use kurbo::{
    Affine, Arc, BezPath, Circle, Ellipse, PathEl, Point, Rect, RoundedRect, Shape, SvgArc, Vec2,
};
use roxmltree::{Document, Node, ParsingOptions};
use svgtypes::{
    Align, AspectRatio, Length, LengthUnit, PathParser, PathSegment, PointsParser, Transform,
    ViewBox,
};

use crate::limits;
use crate::tolerance::{CLOSING, COORDINATE, REACH};

/// Why an SVG file gives no path. Lines are those of the SVG file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(crate) enum SvgError {
    #[error("it is not well-formed XML: {0}")]
    Xml(String),
    #[error("it is not an SVG file: its outermost element is <{0}>")]
    NotSvg(String),
    #[error(
        "it does not say how large it is: it has a viewBox, and neither width nor height in in, \
         mm, cm, pt or px"
    )]
    NoSize,
    #[error("line {line}: {name}=\"{value}\" can't be read")]
    Attribute { line: u32, name: String, value: String },
    #[error("line {line}: <{what}> is not followed")]
    NotFollowed { line: u32, what: String },
    #[error("there is no path in it")]
    NoPath,
    #[error("it has no path with the id \"{id}\"")]
    NoSuchId { id: String, known: Vec<String> },
    #[error("it has {count} paths, the first two in lines {} and {}", .lines.0, .lines.1)]
    Several { count: usize, lines: (u32, u32), known: Vec<String> },
    #[error("line {line}: the path has {count} loops, and one is needed")]
    Loops { line: u32, count: usize },
    #[error("line {line}: the path is not closed: its ends are {gap:.2} mm apart")]
    Open { line: u32, gap: f64 },
    #[error("line {line}: the path's numbers are too large")]
    TooLarge { line: u32 },
    #[error("more than {most} attributes in one element", most = limits::SVG_ATTRIBUTES)]
    Attributes,
    #[error("line {line}: more than {most} groups stand within each other", most = limits::SVG_NESTING)]
    Nested { line: u32 },
    #[error("line {line}: more than {most} points, lines and curves in one path", most = limits::SVG_STEPS)]
    Steps { line: u32 },
}

impl SvgError {
    /// What would be right.
    pub(crate) fn advice(&self) -> String {
        match self {
            Self::Xml(_) | Self::NotSvg(_) | Self::Attributes => {
                "save the drawing as plain SVG".to_owned()
            }
            Self::NoSize => "set the page size of the drawing in in or mm".to_owned(),
            Self::Attribute { .. } => "mend it, or save the drawing again as plain SVG".to_owned(),
            Self::NotFollowed { .. } => "turn it into a path in your drawing program".to_owned(),
            Self::NoPath => "draw the outline as one closed path".to_owned(),
            Self::NoSuchId { known, .. } if known.is_empty() => {
                "no path there has an id".to_owned()
            }
            Self::Several { known, .. } if known.is_empty() => {
                "leave one path in it, or give the one you want an id and name that".to_owned()
            }
            Self::NoSuchId { known, .. } | Self::Several { known, .. } => {
                format!("leave one path in it, or name one by its id: {}", known.join(", "))
            }
            Self::Loops { .. } => "break the path apart and leave the outer loop".to_owned(),
            Self::Open { .. } => "join the ends of the path in your drawing program".to_owned(),
            Self::TooLarge { .. } => "everything lies within 100 m".to_owned(),
            Self::Nested { .. } => "ungroup the outline in your drawing program".to_owned(),
            Self::Steps { .. } => "smooth the path in your drawing program".to_owned(),
        }
    }
}

/// Elements whose content is not drawn where it stands.
const NOT_DRAWN: [&str; 8] =
    ["defs", "symbol", "clipPath", "mask", "marker", "pattern", "linearGradient", "radialGradient"];

/// Elements that are outlines.
const SHAPES: [&str; 7] = ["path", "rect", "circle", "ellipse", "polygon", "polyline", "line"];

/// Elements that would bring in outlines from elsewhere or scale them anew.
const NOT_FOLLOWED: [&str; 2] = ["use", "svg"];

/// The one path that is drawn in the SVG file `text`, or in its element named `id`: closed, in mm,
/// y up, anywhere in the plane. Rectangles, circles, ellipses and polygons are paths too. Arcs are
/// drawn as cubics that are exact to a millionth of a millimeter.
///
/// # Errors
/// When the file is no SVG, does not say how large it is, or does not hold exactly one closed path.
pub(crate) fn svg_path(text: &str, id: Option<&str>) -> Result<BezPath, SvgError> {
    if !are_few_attributes(text) {
        return Err(SvgError::Attributes);
    }
    // Drawing programs write a document type; entities that expand without end are refused.
    let options = ParsingOptions {
        allow_dtd: true,
        nodes_limit: limits::SVG_NODES,
        ..ParsingOptions::default()
    };
    let document = Document::parse_with_options(text, options)
        .map_err(|error| SvgError::Xml(error.to_string()))?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(SvgError::NotSvg(root.tag_name().name().to_owned()));
    }
    shallow(root)?;
    let shape = only_shape(root, id)?;
    let map = to_millimeters(root)? * transforms(shape)?;
    let scale = map.as_coeffs()[..4].iter().map(|c| c * c).sum::<f64>().sqrt();
    let path = map * outline(shape, CLOSING / scale.max(f64::MIN_POSITIVE))?;
    one_loop(&path, line_of(shape))
}

/// Whether no element has so many attributes that its reader would be long about it. Counted is what
/// looks like one since the last "<", wherever it stands.
fn are_few_attributes(text: &str) -> bool {
    text.split('<').all(|element| {
        let values = element.split('=').skip(1);
        values.filter(|v| v.trim_start().starts_with(['"', '\''])).count() <= limits::SVG_ATTRIBUTES
    })
}

/// That nothing lies too deep to look at what is round each element.
fn shallow(root: Node<'_, '_>) -> Result<(), SvgError> {
    let most = limits::SVG_NESTING + 2;
    let deep = |node: &Node<'_, '_>| node.ancestors().take(most + 1).count() > most;
    match root.descendants().find(deep) {
        Some(node) => Err(SvgError::Nested { line: line_of(node) }),
        None => Ok(()),
    }
}

/// The path's only loop, closed. Points that nothing is drawn from do not count.
fn one_loop(path: &BezPath, line: u32) -> Result<BezPath, SvgError> {
    let mut loops: Vec<Vec<PathEl>> = Vec::new();
    let mut start = Point::ORIGIN;
    let mut begun = false;
    for element in path.elements() {
        match (element, begun) {
            (PathEl::MoveTo(to), _) => start = *to,
            (PathEl::ClosePath, false) => {}
            (drawn, true) => loops.last_mut().into_iter().for_each(|l| l.push(*drawn)),
            (drawn, false) => loops.push(vec![PathEl::MoveTo(start), *drawn]),
        }
        begun = !matches!(element, PathEl::MoveTo(_) | PathEl::ClosePath);
    }
    let count = loops.len();
    let Some(only) = loops.pop() else { return Err(SvgError::NoPath) };
    if count > 1 {
        return Err(SvgError::Loops { line, count });
    }
    let mut only = BezPath::from_vec(only);
    let bounds = only.control_box();
    let far = [bounds.x0, bounds.y0, bounds.x1, bounds.y1];
    // Written so that it holds for what is not a number as well.
    if !far.into_iter().all(|c| c.abs() <= REACH) {
        return Err(SvgError::TooLarge { line });
    }
    if only.elements().last() != Some(&PathEl::ClosePath) {
        let end = only.elements().last().and_then(PathEl::end_point).unwrap_or(start);
        let gap = (end - start).hypot();
        if gap > COORDINATE {
            return Err(SvgError::Open { line, gap });
        }
        only.close_path();
    }
    Ok(only)
}

fn line_of(node: Node<'_, '_>) -> u32 {
    node.document().text_pos_at(node.range().start).row
}

fn only_shape<'a, 'i>(root: Node<'a, 'i>, id: Option<&str>) -> Result<Node<'a, 'i>, SvgError> {
    let drawn: Vec<Node<'_, '_>> =
        root.descendants().filter(|n| n.is_element() && *n != root && is_drawn(*n)).collect();
    let is = |node: &Node<'_, '_>, names: &[&str]| names.contains(&node.tag_name().name());
    let known = || {
        let shapes = drawn.iter().filter(|n| is(n, &SHAPES));
        shapes.filter_map(|n| n.attribute("id")).map(str::to_owned).collect::<Vec<_>>()
    };
    let within = |node: &Node<'_, '_>| {
        id.is_none() || node.ancestors().any(|n| n.is_element() && n.attribute("id") == id)
    };
    if let Some(node) = drawn.iter().find(|n| is(n, &NOT_FOLLOWED) && within(n)) {
        let (line, what) = (line_of(*node), node.tag_name().name().to_owned());
        return Err(SvgError::NotFollowed { line, what });
    }
    let shapes: Vec<Node<'_, '_>> =
        drawn.iter().filter(|n| is(n, &SHAPES) && within(n)).copied().collect();
    match (shapes.as_slice(), id) {
        ([shape], _) => Ok(*shape),
        ([], None) => Err(SvgError::NoPath),
        ([], Some(id)) => Err(SvgError::NoSuchId { id: id.to_owned(), known: known() }),
        ([one, two, ..], _) => {
            let lines = (line_of(*one), line_of(*two));
            Err(SvgError::Several { count: shapes.len(), lines, known: known() })
        }
    }
}

/// Whether neither the element nor one around it is hidden or only there to be referred to.
fn is_drawn(node: Node<'_, '_>) -> bool {
    node.ancestors().filter(Node::is_element).all(|n| {
        let hidden = n.attribute("display") == Some("none")
            || style(n).any(|(key, value)| key == "display" && value == "none");
        !hidden && !NOT_DRAWN.contains(&n.tag_name().name())
    })
}

/// The declarations of the style attribute.
fn style<'a>(node: Node<'a, '_>) -> impl Iterator<Item = (&'a str, &'a str)> {
    let text = node.attribute("style").unwrap_or_default();
    text.split(';').filter_map(|one| one.split_once(':')).map(|(k, v)| (k.trim(), v.trim()))
}

/// An attribute as a `T`; `None` when it is not there.
fn read<T: std::str::FromStr>(node: Node<'_, '_>, name: &str) -> Result<Option<T>, SvgError> {
    let Some(value) = node.attribute(name) else { return Ok(None) };
    value.trim().parse().map(Some).map_err(|_| unreadable(node, name, value))
}

fn unreadable(node: Node<'_, '_>, name: &str, value: &str) -> SvgError {
    let value = value.chars().take(40).collect();
    SvgError::Attribute { line: line_of(node), name: name.to_owned(), value }
}

/// From the file's user units, y down, to mm, y up.
fn to_millimeters(root: Node<'_, '_>) -> Result<Affine, SvgError> {
    let sides = [side(root, "width")?, side(root, "height")?];
    let [x, y] = match read::<ViewBox>(root, "viewBox")? {
        None => [PX, PX],
        Some(view) => {
            let aspect = read(root, "preserveAspectRatio")?.unwrap_or_default();
            scales(sides, [view.w, view.h], aspect).ok_or(SvgError::NoSize)?
        }
    };
    Ok(Affine::scale_non_uniform(x, -y))
}

/// One px in mm.
const PX: f64 = 25.4 / 96.0;

/// A length in px, which are user units where nothing is scaled. `None` when it is not said, or in
/// per cent of who knows what.
fn length(node: Node<'_, '_>, name: &str) -> Result<Option<f64>, SvgError> {
    let Some(Length { number, unit }) = read(node, name)? else { return Ok(None) };
    let px = match unit {
        LengthUnit::None | LengthUnit::Px => 1.0,
        LengthUnit::In => 96.0,
        LengthUnit::Mm => 96.0 / 25.4,
        LengthUnit::Cm => 960.0 / 25.4,
        LengthUnit::Pt => 96.0 / 72.0,
        LengthUnit::Pc => 96.0 / 6.0,
        LengthUnit::Percent => return Ok(None),
        LengthUnit::Em | LengthUnit::Ex => {
            return Err(unreadable(node, name, node.attribute(name).unwrap_or_default()));
        }
    };
    Ok(Some(number * px))
}

/// A side of the page in mm.
fn side(root: Node<'_, '_>, name: &str) -> Result<Option<f64>, SvgError> {
    match length(root, name)? {
        Some(px) if px <= 0.0 => {
            Err(unreadable(root, name, root.attribute(name).unwrap_or_default()))
        }
        px => Ok(px.map(|px| px * PX)),
    }
}

/// The mm of a user unit along x and y. `None` when no side of the page is known.
fn scales(page: [Option<f64>; 2], view: [f64; 2], aspect: AspectRatio) -> Option<[f64; 2]> {
    let (x, y) = (page[0].map(|w| w / view[0]), page[1].map(|h| h / view[1]));
    let (x, y) = (x.or(y)?, y.or(x)?);
    Some(match (aspect.align, aspect.slice) {
        (Align::None, _) => [x, y],
        (_, false) => [x.min(y); 2],
        (_, true) => [x.max(y); 2],
    })
}

/// All transforms from the outermost element down to the shape itself.
fn transforms(shape: Node<'_, '_>) -> Result<Affine, SvgError> {
    let mut all = Affine::IDENTITY;
    for node in shape.ancestors().filter(Node::is_element) {
        if let Some((_, value)) = style(node).find(|(key, _)| *key == "transform") {
            return Err(unreadable(node, "style transform", value));
        }
        if let Some(Transform { a, b, c, d, e, f }) = read(node, "transform")? {
            all = Affine::new([a, b, c, d, e, f]) * all;
        }
    }
    Ok(all)
}

/// The shape's path in user units; arcs are cubics within `tolerance`.
fn outline(shape: Node<'_, '_>, tolerance: f64) -> Result<BezPath, SvgError> {
    let given = |name| length(shape, name);
    let number = |name| Ok::<f64, SvgError>(given(name)?.unwrap_or(0.0));
    // Where one radius is not said it is as the other.
    let radii = || {
        let (x, y) = (given("rx")?, given("ry")?);
        Ok::<_, SvgError>((x.or(y).unwrap_or(0.0), y.or(x).unwrap_or(0.0)))
    };
    Ok(match shape.tag_name().name() {
        "circle" => {
            let (at, r) = ((number("cx")?, number("cy")?), number("r")?);
            Circle::new(at, r).to_path(fine(r, tolerance))
        }
        "ellipse" => {
            let (at, (rx, ry)) = ((number("cx")?, number("cy")?), radii()?);
            Ellipse::new(at, (rx, ry), 0.0).to_path(fine(rx.max(ry), tolerance))
        }
        "rect" => {
            let (size, radii) = ((number("width")?, number("height")?), radii()?);
            let rect = Rect::from_origin_size((number("x")?, number("y")?), size);
            rounded(rect, radii, tolerance)
        }
        "polygon" => points(shape, true)?,
        "polyline" => points(shape, false)?,
        "line" => {
            let mut path = BezPath::new();
            path.move_to((number("x1")?, number("y1")?));
            path.line_to((number("x2")?, number("y2")?));
            path
        }
        _ => drawn(shape, tolerance)?,
    })
}

/// A tolerance that an arc of `radius` meets with a few hundred cubics, however large it is.
fn fine(radius: f64, tolerance: f64) -> f64 {
    tolerance.max(radius.abs() * 1e-12)
}

/// A rectangle with elliptic corners: drawn with round ones and stretched.
fn rounded(rect: Rect, (rx, ry): (f64, f64), tolerance: f64) -> BezPath {
    let (rx, ry) = (rx.min(rect.width() / 2.0), ry.min(rect.height() / 2.0));
    if rx <= 0.0 || ry <= 0.0 {
        return rect.to_path(tolerance);
    }
    let stretch = Affine::scale_non_uniform(1.0, ry / rx);
    let tall = Rect::new(rect.x0, rect.y0 * rx / ry, rect.x1, rect.y1 * rx / ry);
    stretch * RoundedRect::from_rect(tall, rx).to_path(fine(rx, tolerance * (rx / ry).min(1.0)))
}

/// An error once a path has too many steps, before all of them are read.
fn few(path: &BezPath, shape: Node<'_, '_>) -> Result<(), SvgError> {
    let steps = path.elements().len();
    if steps <= limits::SVG_STEPS { Ok(()) } else { Err(SvgError::Steps { line: line_of(shape) }) }
}

fn points(shape: Node<'_, '_>, closed: bool) -> Result<BezPath, SvgError> {
    let mut path = BezPath::new();
    for (x, y) in PointsParser::from(shape.attribute("points").unwrap_or_default()) {
        few(&path, shape)?;
        // Not `is_empty`, which asks for segments: a path that has only begun has none.
        let begun = !path.elements().is_empty();
        if begun { path.line_to((x, y)) } else { path.move_to((x, y)) }
    }
    if closed && !path.is_empty() {
        path.close_path();
    }
    Ok(path)
}

fn drawn(shape: Node<'_, '_>, tolerance: f64) -> Result<BezPath, SvgError> {
    let data = shape.attribute("d").unwrap_or_default();
    let mut pen =
        Pen { path: BezPath::new(), start: Point::ORIGIN, at: Point::ORIGIN, control: None };
    for segment in PathParser::from(data) {
        pen.draw(segment.map_err(|_| unreadable(shape, "d", data))?, tolerance);
        few(&pen.path, shape)?;
    }
    Ok(pen.path)
}

/// Draws path data (SVG 1.1, 8.3).
struct Pen {
    path: BezPath,
    /// Where the loop began.
    start: Point,
    at: Point,
    /// The last control point of a cubic (true) or quadratic curve just drawn.
    control: Option<(bool, Point)>,
}

impl Pen {
    fn draw(&mut self, segment: PathSegment, tolerance: f64) {
        let from = if segment.is_abs() { Vec2::ZERO } else { self.at.to_vec2() };
        let point = |x: f64, y: f64| Point::new(x, y) + from;
        // Where a smooth curve's first control point lies: the last one mirrored.
        let mirrored = |cubic: bool| match self.control {
            Some((was_cubic, last)) if was_cubic == cubic => self.at + (self.at - last),
            _ => self.at,
        };
        match segment {
            PathSegment::MoveTo { x, y, .. } => self.move_to(point(x, y)),
            PathSegment::LineTo { x, y, .. } => self.line(point(x, y)),
            PathSegment::HorizontalLineTo { x, .. } => self.line(Point::new(x + from.x, self.at.y)),
            PathSegment::VerticalLineTo { y, .. } => self.line(Point::new(self.at.x, y + from.y)),
            PathSegment::CurveTo { x1, y1, x2, y2, x, y, .. } => {
                self.cubic(point(x1, y1), point(x2, y2), point(x, y));
            }
            PathSegment::SmoothCurveTo { x2, y2, x, y, .. } => {
                self.cubic(mirrored(true), point(x2, y2), point(x, y));
            }
            PathSegment::Quadratic { x1, y1, x, y, .. } => self.quad(point(x1, y1), point(x, y)),
            PathSegment::SmoothQuadratic { x, y, .. } => self.quad(mirrored(false), point(x, y)),
            PathSegment::EllipticalArc {
                rx, ry, x_axis_rotation, large_arc, sweep, x, y, ..
            } => {
                let to = point(x, y);
                let x_rotation = x_axis_rotation.to_radians();
                let radii = Vec2::new(rx, ry);
                let arc = SvgArc { from: self.at, to, radii, x_rotation, large_arc, sweep };
                self.arc(&arc, tolerance);
            }
            PathSegment::ClosePath { .. } => {
                self.path.close_path();
                (self.at, self.control) = (self.start, None);
            }
        }
    }

    fn move_to(&mut self, to: Point) {
        self.path.move_to(to);
        (self.start, self.at, self.control) = (to, to, None);
    }

    fn line(&mut self, to: Point) {
        self.path.line_to(to);
        (self.at, self.control) = (to, None);
    }

    fn cubic(&mut self, one: Point, two: Point, to: Point) {
        self.path.curve_to(one, two, to);
        (self.at, self.control) = (to, Some((true, two)));
    }

    fn quad(&mut self, one: Point, to: Point) {
        self.path.quad_to(one, to);
        (self.at, self.control) = (to, Some((false, one)));
    }

    fn arc(&mut self, arc: &SvgArc, tolerance: f64) {
        match Arc::from_svg_arc(arc) {
            Some(round) => {
                let tolerance = fine(round.radii.x.max(round.radii.y), tolerance);
                round.to_cubic_beziers(tolerance, |a, b, to| self.path.curve_to(a, b, to));
            }
            None => self.path.line_to(arc.to),
        }
        (self.at, self.control) = (arc.to, None);
    }
}
