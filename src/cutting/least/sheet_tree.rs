//! A sheet being filled: strips within strips, each turned against the one around it.
//!
//! What a strip does not use lies at its end, however often pieces come and go: parts of a strip
//! may change places, so all its room is in one place.

use super::inflated::row;
use super::{ItemType, Panel};

/// Strips lie no deeper in one another than this: a bound for everything that walks down.
const DEEPEST: u16 = 60;
const NONE: u32 = u32::MAX;

/// A sheet with the pieces on it; sizes carry the kerf.
#[derive(Clone)]
pub(super) struct SheetTree {
    pub stock: usize,
    /// The parts; a part comes after the strip it lies in.
    nodes: Vec<TreeNode>,
    pub rooms: Vec<Room>,
    pub pieces: usize,
}

#[derive(Clone, Copy)]
struct TreeNode {
    size: [i64; 2],
    parent: u32,
    depth: u16,
    kind: NodeKind,
}

#[derive(Clone, Copy)]
enum NodeKind {
    Piece {
        item: u32,
        turned: bool,
    },
    /// Parts side by side along `axis`, `used` of it taken.
    Strip {
        axis: u8,
        used: i64,
    },
    Removed,
}

/// Where a piece may be put: the end of a strip.
#[derive(Clone, Copy)]
pub(super) struct Room {
    node: u32,
    pub axis: u8,
    pub size: [i64; 2],
}

/// A piece as it is to be laid.
#[derive(Clone, Copy)]
pub(super) struct PosedPiece {
    pub item: u32,
    pub size: [i64; 2],
    pub turned: bool,
}

impl SheetTree {
    pub(super) fn new(stock: usize, size: [i64; 2]) -> Self {
        let root =
            TreeNode { size, parent: NONE, depth: 0, kind: NodeKind::Strip { axis: 0, used: 0 } };
        let room = Room { node: 0, axis: 0, size };
        Self { stock, nodes: vec![root], rooms: vec![room], pieces: 0 }
    }

    /// Lays a piece at the corner of a room. The first cut runs across the room's strip, or, when
    /// `lengthwise`, along it.
    pub(super) fn lay(&mut self, room: usize, piece: PosedPiece, lengthwise: bool) {
        let Room { node, axis, size } = self.rooms.swap_remove(room);
        let (along, across) = (usize::from(axis), usize::from(1 - axis));
        self.pieces += 1;
        let mut wide = size;
        if lengthwise {
            // The whole room becomes one part, turned, and the piece lies at its beginning.
            let part = self.part_of(node, along, size);
            let strip = self.part_of(part, across, with(size, across, piece.size[across]));
            self.open(part);
            self.fill(strip, piece);
        } else {
            wide[along] = piece.size[along];
            let part = self.part_of(node, along, wide);
            self.open(node);
            self.fill(part, piece);
        }
    }

    /// Several pieces of one kind in a row, at the beginning of a room, sharing one strip.
    pub(super) fn lay_row(&mut self, room: usize, piece: PosedPiece, copies: usize) {
        let Room { node, axis, size } = self.rooms.swap_remove(room);
        let (along, across) = (usize::from(axis), usize::from(1 - axis));
        let strip = self.part_of(node, along, size);
        let row = self.part_of(strip, across, with(size, across, piece.size[across]));
        for _ in 0..copies {
            let part = self.part_of(row, along, piece.size);
            self.fill(part, piece);
        }
        self.pieces += copies;
        self.open(strip);
        self.open(row);
    }

    /// A new part of a strip, `size` large, taking its share along `axis` of the strip's length.
    fn part_of(&mut self, strip: u32, axis: usize, size: [i64; 2]) -> u32 {
        let depth = self.nodes[strip as usize].depth + 1;
        if let NodeKind::Strip { used, .. } = &mut self.nodes[strip as usize].kind {
            *used += size[axis];
        }
        let kind = NodeKind::Strip { axis: 1 - axis as u8, used: 0 };
        self.nodes.push(TreeNode { size, parent: strip, depth, kind });
        self.nodes.len() as u32 - 1
    }

    /// Puts a piece at the beginning of an empty part that is no larger across its strip.
    fn fill(&mut self, part: u32, piece: PosedPiece) {
        let node = self.nodes[part as usize];
        let NodeKind::Strip { axis, .. } = node.kind else { return };
        let axis = usize::from(axis);
        let kind = NodeKind::Piece { item: piece.item, turned: piece.turned };
        if node.size == piece.size {
            self.nodes[part as usize].kind = kind;
            return;
        }
        let inner = self.part_of(part, axis, piece.size);
        self.nodes[inner as usize].kind = kind;
        self.open(part);
    }

    /// Notes the room at the end of a strip, if there is any.
    fn open(&mut self, strip: u32) {
        let node = &self.nodes[strip as usize];
        let NodeKind::Strip { axis, used } = node.kind else { return };
        let along = usize::from(axis);
        let rest = node.size[along] - used;
        if rest > 0 && node.depth < DEEPEST {
            self.rooms.push(Room { node: strip, axis, size: with(node.size, along, rest) });
        }
    }

    /// How many parts there are, strips and pieces: what `take` may be asked for.
    pub(super) fn parts(&self) -> usize {
        self.nodes.len()
    }

    /// Takes a part and all that lies in it off the sheet. `settle` must follow.
    pub(super) fn take(&mut self, part: usize, off: &mut Vec<u32>) {
        for at in part..self.nodes.len() {
            let parent = self.nodes[at].parent;
            let goes = at == part
                || parent != NONE
                    && parent as usize >= part
                    && matches!(self.nodes[parent as usize].kind, NodeKind::Removed);
            if !goes {
                continue;
            }
            if let NodeKind::Piece { item, .. } = self.nodes[at].kind {
                off.push(item);
                self.pieces -= 1;
            }
            self.nodes[at].kind = NodeKind::Removed;
        }
    }

    /// All pieces off the sheet.
    pub(super) fn clear(&mut self, off: &mut Vec<u32>) {
        self.take(0, off);
        *self = Self::new(self.stock, self.nodes[0].size);
    }

    /// Pushes together what is left after pieces were taken: empty strips go, strips become as
    /// narrow as what lies in them, and room comes together at their ends.
    pub(super) fn settle(&mut self) {
        let needs = self.needs();
        self.rooms.clear();
        let mut moved: Vec<u32> = vec![0; self.nodes.len()];
        let mut kept = 0;
        for at in 0..self.nodes.len() {
            let mut node = self.nodes[at];
            let gone = match node.kind {
                NodeKind::Removed => true,
                NodeKind::Strip { .. } => at > 0 && needs[at][0] == 0,
                NodeKind::Piece { .. } => false,
            };
            if gone {
                continue;
            }
            if at > 0 {
                node.parent = moved[node.parent as usize];
                let strip = &mut self.nodes[node.parent as usize];
                if let NodeKind::Strip { axis, used } = &mut strip.kind {
                    let along = usize::from(*axis);
                    node.size = with(strip.size, along, needs[at][along]);
                    *used += node.size[along];
                }
            }
            if let NodeKind::Strip { used, .. } = &mut node.kind {
                *used = 0;
            }
            moved[at] = kept as u32;
            self.nodes[kept] = node;
            kept += 1;
        }
        self.nodes.truncate(kept);
        for at in 0..kept as u32 {
            self.open(at);
        }
    }

    /// How large each part has to be for what lies in it.
    fn needs(&self) -> Vec<[i64; 2]> {
        let mut needs = vec![[0, 0]; self.nodes.len()];
        for at in (1..self.nodes.len()).rev() {
            let node = &self.nodes[at];
            match node.kind {
                NodeKind::Removed => continue,
                NodeKind::Piece { .. } => needs[at] = node.size,
                NodeKind::Strip { .. } => {}
            }
            let NodeKind::Strip { axis, .. } = self.nodes[node.parent as usize].kind else {
                continue;
            };
            let (along, across) = (usize::from(axis), usize::from(1 - axis));
            let need: [i64; 2] = needs[at];
            let strip = &mut needs[node.parent as usize];
            strip[along] += need[along];
            strip[across] = strip[across].max(need[across]);
        }
        needs
    }

    /// How many pieces of each item lie on it, as (item, count) in order of items.
    pub(super) fn counts(&self) -> Vec<(usize, usize)> {
        let pieces = self.nodes.iter().filter_map(|node| match node.kind {
            NodeKind::Piece { item, .. } => Some(item as usize),
            _ => None,
        });
        tally(pieces.collect())
    }

    /// The area the pieces on it take.
    pub(super) fn filled(&self, items: &[ItemType]) -> i64 {
        self.counts().iter().map(|&(item, count)| items[item].area() * count as i64).sum()
    }

    /// The sheet as it comes apart under the saw.
    pub(super) fn panel(&self, kerf: i64) -> Panel {
        let mut parts: Vec<Vec<(i64, Panel)>> = vec![Vec::new(); self.nodes.len()];
        let mut whole = Panel::Remainder;
        for at in (0..self.nodes.len()).rev() {
            let node = &self.nodes[at];
            let panel = match node.kind {
                NodeKind::Removed => continue,
                NodeKind::Piece { item, turned } => Panel::piece(item as usize, turned),
                NodeKind::Strip { axis, .. } => {
                    let mut inside = std::mem::take(&mut parts[at]);
                    inside.reverse();
                    row(usize::from(axis), node.size[usize::from(axis)], inside, kerf)
                }
            };
            if node.parent == NONE {
                whole = panel;
            } else if let NodeKind::Strip { axis, .. } = self.nodes[node.parent as usize].kind {
                parts[node.parent as usize].push((node.size[usize::from(axis)], panel));
            }
        }
        whole
    }
}

fn with(mut size: [i64; 2], axis: usize, side: i64) -> [i64; 2] {
    size[axis] = side;
    size
}

/// How often each number occurs.
pub(super) fn tally(mut all: Vec<usize>) -> Vec<(usize, usize)> {
    all.sort_unstable();
    all.chunk_by(|a, b| a == b).map(|run| (run[0], run.len())).collect()
}
