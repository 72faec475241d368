//! `verify`: agreement, disagreement, and files that cannot be checked.

use coatbell::verify::BUILT_IN_CHECKS;

use super::harness::Bench;

const HEADER: &str = "id,quantity,inputs,expected,unit,tol_abs,tol_rel,basis,source\n";

fn said_of(rows: &str) -> String {
    Bench::with("mine.csv", format!("{HEADER}{rows}")).transcript(&["verify", "--checks", "mine.csv"])
}

#[test]
fn the_built_in_checks_agree() {
    let said = Bench::new().transcript(&["verify", "--quiet"]);
    let rows = BUILT_IN_CHECKS.lines().count() - 1;
    assert_eq!(said, format!("$ coatbell verify --quiet\n[exit 0]\n--- stdout\nall {rows} checks agree\n"));
}

#[test]
fn each_value_stands_beside_its_source() {
    insta::assert_snapshot!(said_of(
        "dew-1,dew_point,t_c=20;rh_pct=50,9.272,degC,0.05,,reference-library,\"psychrolib 2.5.0, computed\"\n\
         wet-1,wet_bulb,t_c=20;rh_pct=50;p_pa=101325,13.783,degC,0.05,,reference-library,psychrolib 2.5.0\n"
    ));
}

#[test]
fn a_row_that_disagrees_ends_with_one() {
    insta::assert_snapshot!(said_of("dew-1,dew_point,t_c=20;rh_pct=50,12,degC,0.5,0.01,memory,a slip\n"));
}

#[test]
fn the_json_of_the_contract() {
    let bench = Bench::with(
        "mine.csv",
        format!("{HEADER}dew-1,dew_point,t_c=20;rh_pct=100,20,degC,0.001,,derived,saturated air\n"),
    );
    let output = bench.command().args(["verify", "--checks", "mine.csv", "--json"]).output().expect("the binary runs");
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(document["schema"], "coatbell.verify/1");
    assert_eq!((&document["passed"], &document["failed"]), (&1.into(), &0.into()));
    let row = document["rows"][0].as_object().expect("a row");
    let keys: std::collections::BTreeSet<&str> = row.keys().map(String::as_str).collect();
    let promised = ["id", "quantity", "expected", "got", "unit", "tolerance", "ok", "basis", "source"];
    assert_eq!(keys, promised.into_iter().collect());
}

#[test]
fn rows_that_cannot_be_checked_are_named() {
    insta::assert_snapshot!(said_of(
        "a,dew_pont,t_c=20;rh_pct=50,9,degC,0.5,,memory,x\n\
         b,dew_point,t_c=20;rh_pc=50,9,degC,0.5,,memory,x\n\
         c,vapour_pressure,substance=acetoone;t_c=20,24,kPa,1,,memory,x\n\
         d,dew_point,t_c=20;rh_pct=50,9,degF,0.5,,memory,x\n\
         e,dew_point,t_c=warm;rh_pct=50,9,degC,0.5,,guess,x\n\
         a,dew_point,t_c=20;rh_pct=50,9,degC,-1,,memory,x\n"
    ));
}

#[test]
fn what_is_wrong_is_pointed_at_in_its_own_column() {
    // The id, and a source between quotes, hold the same letters as the column that is wrong.
    let rows = "source,id,quantity,inputs,expected,unit,tol_abs,tol_rel,basis\n\
                \"a table, -1\",dew-1,dew_point,t_c=20;rh_pct=50,9.272,degC,-1,,memory\n";
    let bench = Bench::with("mine.csv", rows);
    let output = bench.command().args(["verify", "--checks", "mine.csv", "--json"]).output().expect("the binary runs");
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let error = &document["errors"][0];
    let column = rows.lines().nth(1).and_then(|line| line.find(",-1,")).map(|at| at + 2);
    assert_eq!((error["line"].as_u64(), error["column"].as_u64().map(|at| at as usize)), (Some(2), column), "{error}");
}

#[test]
fn a_column_that_stands_twice_is_refused() {
    let said =
        Bench::with("mine.csv", HEADER.replace("tol_rel", "tol_abs")).transcript(&["verify", "--checks", "mine.csv"]);
    assert!(said.contains("column `tol_abs` stands twice"), "{said}");
}

#[test]
fn an_unknown_substance_names_its_row() {
    insta::assert_snapshot!(said_of("c,vapour_pressure,substance=acetoone;t_c=20,24,kPa,1,,memory,x\n"));
}

#[test]
fn a_row_with_too_many_columns() {
    insta::assert_snapshot!(said_of("a,dew_point,t_c=20;rh_pct=50,9,degC,0.5,,memory,x, with a comma\n"));
}

#[test]
fn a_file_of_another_kind() {
    insta::assert_snapshot!(
        Bench::with("mine.csv", "medium,paper\nwatercolour,cardstock\n")
            .transcript(&["verify", "--checks", "mine.csv"])
    );
}
