//! The planned wall within the pipeline: what `wall.toml` asks, the plan, and the wall cleats as one more holder.

use std::sync::Arc;

use rayon::prelude::*;

use super::{Asked, WorkedHolder, Workshop, texts};
use crate::holder::{Finding, Holder};
use crate::inputs::Inputs;
use crate::reading::{Entry, Noted, Problems, Source, folder_name};
use crate::record::{KeptPlace, with_place};
use crate::settle::{Known, Settled, finished};
use crate::shop::{Shop, says_stud_spacing};
use crate::style::{HolderFile, HungTools, Library};
use crate::wall::{
    CleatRules, HungPlace, PlannedWall, RowsAsked, ToHang, WALL_CLEATS, WallHanger, WallJob,
    WallPlan, WallReading, WallsAsked, cleat_style, plan_walls, read_walls,
};

/// What the wall file asks; `None` without one.
///
/// # Errors
/// Every problem in it.
pub(super) fn walls_asked(
    inputs: &Inputs,
    shop: &Shop,
    asked: &[Asked],
) -> Result<Option<WallsAsked>, Problems> {
    let Some(source) = inputs.wall() else { return Ok(None) };
    let names: Vec<&str> = asked.iter().map(|asked| asked.file.name.as_str()).collect();
    let makers = asked.iter().filter(|asked| asked.file.style.own().wall_cleats.is_some());
    let makers: Vec<&str> = makers.map(|asked| asked.file.name.as_str()).collect();
    let with = WallReading {
        usual: shop.units,
        stud_spacing: shop.wall.stud_spacing,
        shop_says_studs: inputs.shop().is_some_and(says_stud_spacing),
        masonry: shop.wall.masonry.is_some(),
        holders: &names,
        cleat_makers: &makers,
    };
    read_walls(source, with).map(Some)
}

/// The shop with the studs and rows of its walls: they outrank what the shop file and holders say. Of studs that stand
/// unevenly the widest gap holds, of rows the narrowest.
pub(super) fn with_walls(mut shop: Shop, walls: &WallsAsked) -> Shop {
    let gaps = |at: &[f64]| at.windows(2).map(|pair| pair[1] - pair[0]).collect::<Vec<_>>();
    let studs = walls.walls.iter().flat_map(|wall| gaps(&wall.studs));
    shop.wall.stud_spacing = studs.reduce(f64::max).unwrap_or(shop.wall.stud_spacing);
    let rows = walls.walls.iter().flat_map(|wall| match &wall.rows {
        RowsAsked::Heights(heights) => gaps(heights),
        RowsAsked::Spaced { spacing, .. } => vec![*spacing],
        RowsAsked::Open => Vec::new(),
    });
    shop.wall.row_spacing = rows.reduce(f64::min);
    shop
}

/// The same walls with the rows that a plan has chosen, where they were open; `None` where none was.
pub(super) fn with_rows_of(walls: &WallsAsked, plan: &WallPlan) -> Option<WallsAsked> {
    let mut chosen = walls.clone();
    let open = walls.walls.iter().any(|wall| wall.rows == RowsAsked::Open);
    for (wall, planned) in chosen.walls.iter_mut().zip(&plan.walls) {
        wall.rows = RowsAsked::Heights(planned.rows.iter().map(|row| row.height).collect());
    }
    open.then_some(chosen)
}

/// That holders make wall cleats which the plan makes too.
pub(super) fn made_twice(asked: &[Asked]) -> Option<Finding> {
    let makers = asked.iter().filter(|asked| asked.file.style.own().wall_cleats.is_some());
    let makers: Vec<String> =
        makers.map(|asked| format!("holders/{}.toml", asked.file.name)).collect();
    let message = format!(
        "The plan makes the wall cleats, and so does {}: they would be cut twice. Fix: delete that file.",
        makers.join(", ")
    );
    (!makers.is_empty()).then(|| Finding::warn("wall-cleats-twice", message))
}

/// Where every holder hangs.
pub(super) fn wall_plan(
    walls: &WallsAsked,
    shop: &Shop,
    asked: &[Asked],
    holders: &[Arc<WorkedHolder>],
) -> WallPlan {
    let hangers: Vec<WallHanger> =
        holders.par_iter().filter_map(|worked| WallHanger::of(to_hang(worked), shop)).collect();
    let kept: Vec<KeptPlace> =
        asked.iter().filter_map(|asked| asked.rebuilt.as_ref()?.place.clone()).collect();
    let narrower = |name: &str| narrower(asked.iter().find(|asked| asked.file.name == name)?, shop);
    plan_walls(WallJob { asked: walls, shop, hangers: &hangers, kept: &kept, narrower: &narrower })
}

fn to_hang(worked: &WorkedHolder) -> ToHang<'_> {
    ToHang {
        holder: &worked.holder,
        carried: worked.carried.as_ref(),
        hanging: worked.hanging.as_ref(),
        room: worked.room.as_ref(),
        two_handed: worked.hung.two_handed,
    }
}

/// A holder without room for more tools.
fn narrower(asked: &Asked, shop: &Shop) -> Option<WallHanger> {
    let room = asked.file.style.own().counts.as_ref()?.room.as_ref()?.get_ref().clone();
    let file = asked.file.with_choice(&room, Entry::Number(0.0));
    let Settled { holder, carried, hanging, room } =
        finished(&file, shop, &Default::default()).ok()?;
    let (carried, hanging, room) = (carried.as_ref(), hanging.as_ref(), room.as_ref());
    let two_handed = asked.file.hung().two_handed;
    WallHanger::of(ToHang { holder: &holder, carried, hanging, room, two_handed }, shop)
}

impl Workshop<'_> {
    /// The wall cleats of each planned wall as holders to be made.
    ///
    /// # Errors
    /// When a stock for cleats has no room for them.
    pub(super) fn wall_cleats(
        &self,
        inputs: &Inputs,
        (walls, plan): (&WallsAsked, &WallPlan),
        shop: &Shop,
        taken: &[&str],
    ) -> Result<Vec<Arc<WorkedHolder>>, Problems> {
        let rules = CleatRules::of(shop);
        let made = plan.walls.iter().filter_map(|wall| {
            let name = cleats_name(wall, taken);
            Some(self.cleats(inputs, (&name, wall), &cleat_style(wall, rules)?, (walls, shop)))
        });
        made.collect()
    }

    fn cleats(
        &self,
        inputs: &Inputs,
        (name, wall): (&str, &PlannedWall),
        style: &str,
        (walls, shop): (&WallsAsked, &Shop),
    ) -> Result<Arc<WorkedHolder>, Problems> {
        let title = match wall.space.name.as_str() {
            "" => "Wall cleats".to_owned(),
            on => format!("Wall cleats, {on}"),
        };
        let units = shop.units.symbol();
        let text = format!("style = \"{WALL_CLEATS}\"\ntitle = {title:?}\nunits = {units:?}\n");
        let inputs = inputs.clone().with(&format!("styles/{WALL_CLEATS}.toml"), style);
        let library = Library::with(&inputs);
        let mut file = HolderFile::read(Source::new("the wall cleats", text), name, &library)?;
        file.built = walls.built;
        let texts = texts(&file);
        if let Some(before) = self.same_cleats(name, &texts, shop) {
            return Ok(before);
        }
        let Settled { mut holder, carried, hanging, room } =
            finished(&file, shop, &Default::default())?;
        holder.built = walls.built;
        Ok(Arc::new(WorkedHolder {
            holder: Arc::new(holder),
            carried,
            hanging,
            room,
            hung: HungTools::default(),
            moved: Default::default(),
            known: Known::default(),
            record: None,
            texts,
            beside: Arc::new(Noted::new(self.beside.clone())),
        }))
    }

    fn same_cleats(&self, name: &str, now: &[Source], shop: &Shop) -> Option<Arc<WorkedHolder>> {
        let before = self.before.filter(|before| *before.shop == *shop)?;
        let before = before.holders.iter().find(|before| before.holder.name == name)?;
        let same = before.texts.iter().map(Source::text).eq(now.iter().map(Source::text));
        same.then(|| Arc::clone(before))
    }
}

/// A name that no other holder has.
fn cleats_name(wall: &PlannedWall, taken: &[&str]) -> String {
    let name = match wall.space.name.as_str() {
        "" => WALL_CLEATS.to_owned(),
        on => format!("{WALL_CLEATS}-{}", folder_name(on, &[])),
    };
    let mut names = std::iter::successors(Some(name), |name| Some(format!("{name}-planned")));
    names.find(|name| !taken.contains(&name.as_str())).unwrap_or_default()
}

impl WorkedHolder {
    /// How it was made and where it hangs by a plan; `None` for one that has no record.
    pub(crate) fn record_on(&self, plan: Option<&WallPlan>) -> Option<String> {
        let record = self.record.as_ref()?;
        Some(match plan.and_then(|plan| kept_place(plan, &self.holder)) {
            Some(place) => with_place(record, &place, self.holder.units),
            None => record.clone(),
        })
    }
}

fn kept_place(plan: &WallPlan, holder: &Holder) -> Option<KeptPlace> {
    plan.walls.iter().find_map(|wall| {
        let is = |place: &&HungPlace| place.holder == holder.name;
        let place = wall.places.iter().find(is)?;
        let height = place.row.map_or(place.origin.y, |row| wall.rows[row].height);
        Some(KeptPlace {
            holder: holder.name.clone(),
            wall: wall.space.name.clone(),
            left: place.wood.x0,
            height,
            rows: wall.rows.iter().map(|row| row.height).collect(),
        })
    })
}
