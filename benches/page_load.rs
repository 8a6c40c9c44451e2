//! How long the local page takes to answer when it is asked much: run with
//! `cargo bench --bench page_load`, on a quiet machine. Answers are the command's, whose error
//! `ice_answer` prints.

#[path = "../tests/program/page.rs"]
mod page;
#[path = "../tests/program/run.rs"]
#[allow(dead_code, reason = "the tests use the rest")]
mod run;

use page::{Page, STARS, load};

/// The most for 99 of 100 answers to one question, ms.
const P99_MS: f64 = 100.0;

fn told(what: &str, times: &[f64], page: &Page) -> f64 {
    let point = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
    println!(
        "{what}: {} answers; median {:.1} ms, p99 {:.1} ms, longest {:.1} ms; most memory {} kB",
        times.len(),
        point(0.5),
        point(0.99),
        point(1.0),
        page.most_memory_kb().unwrap_or(0)
    );
    point(0.99)
}

fn main() {
    let page = Page::start(&["--no-diary"]);
    assert_eq!(page.get(STARS).status, 200);
    let same = vec![STARS.to_owned(); 2000];
    let p99 = told("one question, 16 connections", &load(&page, 16, &same), &page);
    // Every question another one, worked out anew: as fast as the cores can.
    let other =
        |n: usize| format!("ice?shape=star&count={}&air=-{}+C&units=metric", 1 + n % 8, 12 + n / 8);
    let different: Vec<String> = (0..64).map(other).collect();
    told("different questions, one after another", &load(&page, 1, &different[..24]), &page);
    told("different questions, 16 connections", &load(&page, 16, &different[24..]), &page);
    assert!(p99 < P99_MS, "p99 is {p99:.1} ms; {P99_MS} ms is the most for one question");
}
