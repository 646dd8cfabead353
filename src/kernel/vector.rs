//! Places and directions in space, added and compared.

/// x, y and z.
type Vector = [f64; 3];

pub(crate) fn plus(a: Vector, b: Vector) -> Vector {
    std::array::from_fn(|axis| a[axis] + b[axis])
}

pub(crate) fn minus(a: Vector, b: Vector) -> Vector {
    std::array::from_fn(|axis| a[axis] - b[axis])
}

/// The place so far from another along a direction.
pub(crate) fn along(from: Vector, way: Vector, far: f64) -> Vector {
    std::array::from_fn(|axis| from[axis] + way[axis] * far)
}

pub(crate) fn dot(a: Vector, b: Vector) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Square to both, right-handed.
pub(crate) fn cross(a: Vector, b: Vector) -> Vector {
    std::array::from_fn(|axis| {
        let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
        a[u] * b[v] - a[v] * b[u]
    })
}

/// The same direction with length 1; nothing where there is none.
pub(crate) fn unit(way: Vector) -> Vector {
    let length = dot(way, way).sqrt();
    way.map(|part| if length > 0.0 { part / length } else { 0.0 })
}
