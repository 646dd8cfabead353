//! `holder.glb` and `wall.glb`: a holder or a wall as a solid to turn, in binary glTF 2.0 (ISO/IEC 12113): meters, y up, z to the front.

use serde_json::{Value, json};

use crate::solid::Shell;

/// A piece as it is told to a viewer.
pub(crate) struct SolidPiece<'s> {
    /// As "shelf", "arm 2"; on a wall with the name of its holder before it.
    pub name: String,
    /// In the holder or on the wall, in mm.
    pub shell: &'s Shell,
    /// Red, green and blue of what it is made of, linear, 0 to 1.
    pub tone: [f32; 3],
}

/// Words of the file's head and chunks (glTF 2.0 specification, section 4).
const MAGIC: u32 = 0x4654_6C67;
const VERSION: u32 = 2;
const JSON_CHUNK: u32 = 0x4E4F_534A;
const BINARY_CHUNK: u32 = 0x004E_4942;

/// Kinds of figures and buffers (glTF 2.0 specification, sections 3.6.2 and 5.11.5).
const FLOAT: u32 = 5126;
const UNSIGNED_INT: u32 = 5125;
const ARRAY_BUFFER: u32 = 34962;
const ELEMENT_ARRAY_BUFFER: u32 = 34963;

/// Pieces in their order, each a node and a mesh of its name with triangles counter-clockwise from outside. Without
/// normals a viewer shades every triangle flat, as the specification has it.
pub(crate) fn write(title: &str, pieces: &[SolidPiece<'_>]) -> Vec<u8> {
    let mut tables = GlbTables::default();
    for piece in pieces {
        tables.add(piece);
    }
    let GlbTables { binary, views, accessors, meshes, nodes, materials, tones: _ } = tables;
    let mut said = json!({
        "asset": { "version": "2.0", "generator": "Cleatwright" },
        "scene": 0,
        "scenes": [{ "name": title, "nodes": (0..nodes.len()).collect::<Vec<_>>() }],
    });
    if !nodes.is_empty() {
        said["nodes"] = json!(nodes);
        said["meshes"] = json!(meshes);
        said["materials"] = json!(materials);
        said["accessors"] = json!(accessors);
        said["bufferViews"] = json!(views);
        said["buffers"] = json!([{ "byteLength": binary.len() }]);
    }
    packed(said.to_string().into_bytes(), binary)
}

/// The lists of a file in the making.
#[derive(Default)]
struct GlbTables {
    binary: Vec<u8>,
    views: Vec<Value>,
    accessors: Vec<Value>,
    meshes: Vec<Value>,
    nodes: Vec<Value>,
    materials: Vec<Value>,
    tones: Vec<[f32; 3]>,
}

impl GlbTables {
    fn add(&mut self, piece: &SolidPiece<'_>) {
        let places: Vec<[f32; 3]> =
            piece.shell.points.iter().map(|place| place.map(|mm| (mm / 1000.0) as f32)).collect();
        let extreme = |of: fn(f32, f32) -> f32, from: f32| {
            places.iter().fold([from; 3], |so_far, place| {
                std::array::from_fn(|axis| of(so_far[axis], place[axis]))
            })
        };
        let (least, most) =
            (extreme(f32::min, f32::INFINITY), extreme(f32::max, f32::NEG_INFINITY));
        let bytes = places.iter().flatten().flat_map(|part| part.to_le_bytes()).collect();
        let position = self.accessor(bytes, ARRAY_BUFFER, json!({
            "componentType": FLOAT, "count": places.len(), "type": "VEC3", "min": least, "max": most,
        }));
        let corners: Vec<u32> = piece.shell.facets.iter().flat_map(|facet| facet.corners).collect();
        let bytes = corners.iter().flat_map(|corner| corner.to_le_bytes()).collect();
        let indices = self.accessor(
            bytes,
            ELEMENT_ARRAY_BUFFER,
            json!({
                "componentType": UNSIGNED_INT, "count": corners.len(), "type": "SCALAR",
            }),
        );
        let primitive = json!({
            "attributes": { "POSITION": position }, "indices": indices, "material": self.material(piece.tone),
        });
        self.nodes.push(json!({ "name": piece.name, "mesh": self.meshes.len() }));
        self.meshes.push(json!({ "name": piece.name, "primitives": [primitive] }));
    }

    /// Adds figures of four bytes each, so that all begin at a multiple of four; its number.
    fn accessor(&mut self, bytes: Vec<u8>, target: u32, mut said: Value) -> usize {
        self.views.push(json!({
            "buffer": 0, "byteOffset": self.binary.len(), "byteLength": bytes.len(), "target": target,
        }));
        said["bufferView"] = json!(self.views.len() - 1);
        self.binary.extend(bytes);
        self.accessors.push(said);
        self.accessors.len() - 1
    }

    /// The number of the material of a tone, which is added where it is new.
    fn material(&mut self, tone: [f32; 3]) -> usize {
        let known = self.tones.iter().position(|known| *known == tone);
        known.unwrap_or_else(|| {
            let [red, green, blue] = tone;
            self.materials.push(json!({
                "name": format!("tone {}", self.materials.len() + 1),
                "pbrMetallicRoughness": {
                    "baseColorFactor": [red, green, blue, 1.0], "metallicFactor": 0.0, "roughnessFactor": 0.8,
                },
            }));
            self.tones.push(tone);
            self.tones.len() - 1
        })
    }
}

/// Head, JSON and binary chunk, each filled up to a multiple of four bytes.
fn packed(mut said: Vec<u8>, mut binary: Vec<u8>) -> Vec<u8> {
    said.resize(said.len().next_multiple_of(4), b' ');
    binary.resize(binary.len().next_multiple_of(4), 0);
    let mut file = Vec::new();
    let word = |file: &mut Vec<u8>, word: u32| file.extend(word.to_le_bytes());
    let chunk = |bytes: &[u8]| 8 + bytes.len();
    let all = 12 + chunk(&said) + if binary.is_empty() { 0 } else { chunk(&binary) };
    [MAGIC, VERSION, all as u32, said.len() as u32, JSON_CHUNK]
        .into_iter()
        .for_each(|part| word(&mut file, part));
    file.extend(said);
    if !binary.is_empty() {
        [binary.len() as u32, BINARY_CHUNK].into_iter().for_each(|part| word(&mut file, part));
        file.extend(binary);
    }
    file
}
