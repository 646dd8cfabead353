//! Reading `[router]` and `[hand_router]`.

use schemars::JsonSchema;
use serde::Deserialize;

use super::super::router::{CutDirection, RouterBits, RouterRun, RouterSheets, RouterZero};
use super::{Figure, Limit, NARROW, NOTHING, Reader, STOCK, TRIM};
use crate::reading::{AsCount, AsLength, Kind, Spanned, nearest};

const ROUTER_BIT: Limit = [3.0, 75.0];
/// From the least that is sold with a bearing.
const FLUSH_TRIM_BIT: [Limit; 2] = [[1.0 / 8.0, 3.0], ROUTER_BIT];
const BRIDGE_WIDTH: [Limit; 2] = [[1.0 / 32.0, 0.5], TRIM];
/// Wood that is left standing.
const STANDING: [Limit; 2] = [[1.0 / 64.0, 0.4], [2.0, 50.0]];
const SKIN: [Limit; 2] = [NOTHING, [0.125, 3.0]];
const BED: [Limit; 2] = [[4.0, 100.0], STOCK];
const PASS: [Limit; 2] = [[1.0 / 64.0, 0.4], ROUTER_BIT];
/// Along and down, a minute.
const SPEED: [Limit; 2] = [[1.0, 25.0], [1200.0, 30_000.0]];
const BRIDGES: [f64; 2] = [0.0, 20.0];

/// The words for which way round a part is cut, and for where the machine starts to count.
const DIRECTIONS: [(&str, CutDirection); 2] =
    [("conventional", CutDirection::Conventional), ("climb", CutDirection::Climb)];
const ZEROS: [(&str, RouterZero); 2] =
    [("corner", RouterZero::Corner), ("center", RouterZero::Center)];

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub(super) struct RouterTable {
    /// Diameter of the bit that cuts outlines, as measured.
    #[schemars(with = "AsLength")]
    bit: Figure,
    /// A thinner one for joints and small radii, as measured.
    #[schemars(with = "Option<AsLength>")]
    joint_bit: Option<Figure>,
    /// Parts on a sheet lie one bit width plus twice this apart.
    #[schemars(with = "Option<AsLength>")]
    margin: Option<Figure>,
    /// At each edge of a sheet, for clamps and screws; the bit stays clear.
    #[schemars(with = "Option<AsLength>")]
    hold_down: Option<Figure>,
    /// Length and width of the largest panel it takes; larger sheets are sawn apart first.
    #[schemars(with = "Option<[AsLength; 2]>")]
    bed: Option<Spanned<Vec<Figure>>>,
    /// Small parts go into the openings of large ones.
    fill_openings: Option<bool>,
    /// How many bridges hold a part in the sheet; small parts have fewer.
    #[schemars(with = "Option<AsCount>", extend("minimum" = BRIDGES[0], "maximum" = BRIDGES[1]))]
    bridges: Option<Figure>,
    /// How much wood each of them keeps.
    #[schemars(with = "Option<AsLength>")]
    bridge_width: Option<Figure>,
    /// How high they stand; the bit goes over them.
    #[schemars(with = "Option<AsLength>")]
    bridge_height: Option<Figure>,
    /// Left uncut below outlines, in place of bridges.
    #[schemars(with = "Option<AsLength>")]
    skin: Option<Figure>,
    /// Which way round a part.
    #[schemars(extend("enum" = DIRECTIONS.map(|(word, _)| word)))]
    direction: Option<Spanned<String>>,
    /// Where the machine starts to count: the lower left corner, or the center.
    #[schemars(extend("enum" = ZEROS.map(|(word, _)| word)))]
    zero: Option<Spanned<String>>,
    /// How deep the bit goes at once.
    #[schemars(with = "Option<AsLength>")]
    pass_depth: Option<Figure>,
    /// How far along the cut in a minute.
    #[schemars(with = "Option<AsLength>")]
    feed: Option<Figure>,
    /// How far down in a minute.
    #[schemars(with = "Option<AsLength>")]
    plunge: Option<Figure>,
}

/// The hand-held router, or the one under a table.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub(super) struct HandRouterTable {
    /// Diameter of a bit with a bearing, that follows a master: for parts cut three times or more.
    #[schemars(with = "Option<AsLength>")]
    flush_trim_bit: Option<Figure>,
}

impl Reader<'_> {
    pub(super) fn flush_trim_bit(&self, table: Option<&HandRouterTable>) -> Option<f64> {
        let entry = table?.flush_trim_bit.as_ref()?;
        Some(self.length(entry, "hand_router.flush_trim_bit", FLUSH_TRIM_BIT))
    }

    pub(super) fn router_bits(&self, table: &RouterTable) -> RouterBits {
        let outline = self.size(&table.bit, "router.bit", ROUTER_BIT);
        let Some(entry) = &table.joint_bit else { return RouterBits { outline, joint: outline } };
        let joint = self.size(entry, "router.joint_bit", ROUTER_BIT);
        if joint > outline + crate::tolerance::COORDINATE {
            let [joint, outline] = [joint, outline].map(|mm| self.write(mm, Kind::Length));
            let message = format!("router.joint_bit: {joint} is wider than bit, {outline}");
            self.told(entry, message, "write the wider one as bit, the thinner one as joint_bit");
        }
        RouterBits { outline, joint: joint.min(outline) }
    }

    /// What the table leaves out is as in `fallback`, the default shop's.
    pub(super) fn router_sheets(
        &self,
        table: Option<&RouterTable>,
        fallback: Option<RouterSheets>,
    ) -> RouterSheets {
        let mut sheets = fallback.unwrap_or(RouterSheets {
            margin: 0.0,
            hold_down: 0.0,
            bed: None,
            fill_openings: true,
            bridges: 0,
            bridge_width: 0.0,
            bridge_height: 0.0,
            skin: 0.0,
        });
        let Some(table) = table else { return sheets };
        self.lengths([
            (&table.margin, &mut sheets.margin, "router.margin", [NOTHING, TRIM]),
            (&table.hold_down, &mut sheets.hold_down, "router.hold_down", [NOTHING, NARROW]),
            (&table.bridge_width, &mut sheets.bridge_width, "router.bridge_width", BRIDGE_WIDTH),
            (&table.bridge_height, &mut sheets.bridge_height, "router.bridge_height", STANDING),
            (&table.skin, &mut sheets.skin, "router.skin", SKIN),
        ]);
        match &table.bridges {
            Some(entry) => {
                sheets.bridges =
                    self.within(entry, Kind::Count, "router.bridges", BRIDGES) as usize;
            }
            // A skin holds the parts by itself.
            None if sheets.skin > 0.0 => sheets.bridges = 0,
            None => {}
        }
        sheets.bed = table.bed.as_ref().and_then(|bed| self.bed(bed)).or(sheets.bed);
        sheets.fill_openings = table.fill_openings.unwrap_or(sheets.fill_openings);
        if let (Some(skin), true, true) = (&table.skin, sheets.skin > 0.0, sheets.bridges > 0) {
            let message = "router.skin: bridges hold the parts already";
            self.told(skin, message, "leave out skin, or write bridges = 0");
        }
        sheets
    }

    fn bed(&self, bed: &Spanned<Vec<Figure>>) -> Option<[f64; 2]> {
        let [length, width] = bed.get_ref().as_slice() else {
            let message = format!("router.bed: {} figures", bed.get_ref().len());
            self.told(bed, message, "write the length and the width of the largest panel it takes");
            return None;
        };
        Some([length, width].map(|entry| self.length(entry, "router.bed", BED)))
    }

    /// As [`Reader::router_sheets`].
    pub(super) fn router_run(
        &self,
        table: Option<&RouterTable>,
        fallback: Option<RouterRun>,
    ) -> RouterRun {
        let mut run = fallback.unwrap_or(RouterRun {
            direction: CutDirection::Conventional,
            zero: RouterZero::Corner,
            pass_depth: 0.0,
            feed: 0.0,
            plunge: 0.0,
        });
        let Some(table) = table else { return run };
        self.lengths([
            (&table.pass_depth, &mut run.pass_depth, "router.pass_depth", PASS),
            (&table.feed, &mut run.feed, "router.feed", SPEED),
            (&table.plunge, &mut run.plunge, "router.plunge", SPEED),
        ]);
        if let Some(word) = &table.direction {
            run.direction =
                self.word(word, "router.direction", DIRECTIONS).unwrap_or(run.direction);
        }
        if let Some(word) = &table.zero {
            run.zero = self.word(word, "router.zero", ZEROS).unwrap_or(run.zero);
        }
        run
    }

    /// One of two words; `None` with the problem kept.
    fn word<T: Copy>(&self, said: &Spanned<String>, key: &str, words: [(&str, T); 2]) -> Option<T> {
        let word = said.get_ref().as_str();
        let found = words.iter().find(|(known, _)| *known == word);
        if found.is_none() {
            let help = nearest(word, &words.map(|(known, _)| known));
            self.told(said, format!("{key}: \"{word}\" is not known"), help);
        }
        found.map(|(_, value)| *value)
    }
}
