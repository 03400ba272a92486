//! Parquet files of a register, read by an analysis engine that is not ours (DuckDB).

use crate::folder::{DAY, Folder, RESIN, demo, done, repository};
use serde_json::{Value, json};
use std::path::Path;
use std::process::Command;

/// Asks DuckDB, which the project's own setup puts into `target`; rows of texts.
fn duckdb(folder: &Path, query: &str) -> Value {
    let ask = "import duckdb, json, sys; connection = duckdb.connect(); connection.execute(\"SET TimeZone = 'UTC'\"); \
               print(json.dumps([[None if value is None else str(value) for value in row] \
               for row in connection.execute(sys.argv[1]).fetchall()]))";
    let output = Command::new("bash")
        .current_dir(repository())
        .args(["-c", "source tests/setup && setup_duckdb >&2 && cd \"$1\" && \"$duckdb_python\" -c \"$2\" \"$3\"", "-"])
        .arg(folder)
        .args([ask, query])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn duckdb_reads_the_same_from_parquet_as_from_csv() {
    let folder = Folder::new("parquet");
    let path = |name: &str| folder.path(name);
    let (quay, site) = (demo("quay.toml"), path("site.db"));
    for key in ["a", "b"] {
        folder.keys(key);
    }
    done(&["replay", "--scenario", &quay, "--image", &path("a.bin"), "--key", &path("a/secret.key")]);
    let times = ["--inject", "2022-01-03T05:00:00-07:00", "--seat", "2022-01-03T05:05:00-07:00", "--hole", "dry"];
    let replay = ["replay", DAY, "--resin", RESIN];
    done(&[&replay[..], &times, &["--image", &path("b.bin"), "--key", &path("b/secret.key")]].concat());
    done(&["register", "--file", &site, "add", &path("a.bin"), "--keys", &path("a/public.key")]);
    done(&["register", "--file", &site, "add", &path("b.bin")]);
    done(&["register", "--file", &site, "export", "--parquet", &path("out")]);
    done(&["register", "--file", &site, "export", "--csv", &path("out")]);
    let ask = |query: &str| duckdb(&folder.root().join("out"), query);

    // every row and value of every table, told by another reader of both formats
    for (table, rows) in [("image", 2), ("session", 2), ("fixing", 5), ("release", 2), ("reading", 1152)] {
        let names = ask(&format!("SELECT column_name FROM (DESCRIBE FROM '{table}.csv')"));
        let same = ask(&format!("SELECT column_name FROM (DESCRIBE FROM '{table}.parquet')"));
        assert_eq!(names, same, "{table}");
        let columns: Vec<String> = names
            .as_array()
            .unwrap()
            .iter()
            .map(|name| {
                format!(
                    "coalesce(CAST(parquet.{0} AS VARCHAR), '') = coalesce(CAST(csv.{0} AS VARCHAR), '')",
                    name[0].as_str().unwrap()
                )
            })
            .collect();
        let types = "SELECT column_name, column_type FROM (DESCRIBE FROM '{}.parquet')".replace("{}", table);
        let types: Vec<String> = ask(&types)
            .as_array()
            .unwrap()
            .iter()
            .map(|column| format!("'{}': '{}'", column[0].as_str().unwrap(), column[1].as_str().unwrap()))
            .collect();
        let query = format!(
            "SELECT count(*), count(*) FILTER ({}) FROM (SELECT *, row_number() OVER () AS place FROM '{table}.parquet') parquet \
             FULL JOIN (SELECT *, row_number() OVER () AS place FROM read_csv('{table}.csv', header = true, types = {{{}}})) csv \
             USING (place)",
            columns.join(" AND "),
            types.join(", ")
        );
        assert_eq!(ask(&query), json!([[rows.to_string(), rows.to_string()]]), "{table}");
    }

    // and what somebody would ask
    assert_eq!(
        ask(
            "SELECT label, stage, verdict, torque_nm, cured_at FROM 'fixing.parquet' WHERE torque_nm IS NOT NULL AND stage = 'released'"
        ),
        json!([["bollard 3 stud 1", "released", "proved", "40.0", "2022-01-04 07:32:06+00:00"]])
    );
    assert_eq!(
        ask("SELECT count(*), min(celsius) < 0, bool_and(epoch(read_at) = read_at_s) \
             FROM 'reading.parquet' WHERE became = 'accepted'"),
        json!([["1148", "True", "True"]])
    );
    assert_eq!(
        ask("SELECT DISTINCT session.demo, count(*) FROM 'fixing.parquet' fixing JOIN 'session.parquet' session \
             USING (device, life, first_page) GROUP BY ALL"),
        json!([["True", "5"]])
    );
}
