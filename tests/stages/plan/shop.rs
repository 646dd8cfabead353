//! What the shop file says of the saw, and what it may not say.

use crate::length::Units;
use crate::reading::Source;
use crate::shop::{default_shop, read_shop};

use super::{SAW, ply, shop};

#[test]
fn keys_of_the_saw_are_read() {
    let saw = "[saw]\nkerf = 3\nedge_trim = 5\ntrim = 4\nwidest_rip = 700\nlongest_crosscut = 900\n\
               narrowest_rip = 40\nshortest_rip = 220\nkeep_offcut = [90, 350]\n";
    let shop = ply("quantity = 2", saw);
    assert_eq!((shop.kerf, shop.saw.edge_trim, shop.saw.trim), (3.0, 5.0, 4.0));
    assert_eq!((shop.saw.widest_rip, shop.saw.longest_crosscut), (Some(700.0), Some(900.0)));
    assert_eq!((shop.saw.narrowest_rip, shop.saw.shortest_rip), (40.0, 220.0));
    assert_eq!(shop.saw.keep_offcut, [350.0, 90.0], "the longer first");
    assert_eq!(shop.stock[0].quantity, Some(2));
}

#[test]
fn what_is_left_out_is_as_in_the_default_shop() {
    let default = read_shop(&Source::new("shop.toml", default_shop(Units::Millimeters))).unwrap();
    let shop = ply("", SAW);
    assert_eq!(shop.saw, default.saw);
    assert_eq!(shop.stock[0].quantity, None, "as many as are needed are bought");
}

#[test]
fn wrong_figures_are_told_with_what_is_right() {
    let wrong = |saw: &str| {
        let text = format!("units = \"mm\"\n{saw}");
        let problem = read_shop(&Source::new("shop.toml", text)).unwrap_err();
        format!("{:?}", miette(problem))
    };
    assert!(wrong("[saw]\nkerf = 12\n").contains("12 mm is out of range"));
    assert!(wrong("[saw]\nkerf = 0\n").contains("saw.kerf"));
    assert!(
        wrong("[saw]\nkerf = 3\nkeep_offcut = [90]\n").contains("1 where two lengths are needed")
    );
    assert!(wrong("[saw]\nkerf = 3\nwidest_rip = 60\nnarrowest_rip = 80\n").contains("widest_rip"));
    assert!(wrong("[saw]\nkerf = 3\nrip = 5\n").contains("not known in [saw]"));
    let sheet = "[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 900\nwidth = 600\n";
    assert!(wrong(&format!("{sheet}quantity = -1\n")).contains("quantity"));
    assert!(wrong(&format!("{sheet}quantity = 1.5\n")).contains("whole number"));
    assert!(wrong(&format!("{sheet}plies = 2\n")).contains("from 3 to 25"));
    assert!(wrong(&format!("{sheet}plies = 4.5\n")).contains("whole number"));
    assert!(wrong(&format!("{sheet}plies = 5\nwood = \"mdf\"\n")).contains("mdf is not plywood"));
    assert_eq!(shop(&format!("units = \"mm\"\n{sheet}plies = 7\n")).stock[0].plies, Some(7));
    // Quantity 0 says that there is none at hand.
    assert_eq!(shop(&format!("units = \"mm\"\n{sheet}quantity = 0\n")).stock[0].quantity, Some(0));
}

fn miette(problems: crate::reading::Problems) -> miette::Report {
    let all: Vec<crate::reading::Problem> = problems.into();
    miette::Report::new(all.into_iter().next().unwrap())
}
