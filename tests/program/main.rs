//! The real program as a user runs it, the page as a browser asks it, and what
//! they write.

mod amounts_and_stages;
mod bad_plans;
mod classes;
mod cut;
mod demo_outputs;
mod developers;
mod diary_file;
mod diary_trouble;
mod edges;
mod faults;
mod followed;
mod full_day;
mod fuzz_entries;
mod kept_plan;
mod limits;
mod mistakes;
mod outside;
mod own_names;
mod own_pan;
mod page;
mod page_answers;
mod page_diary;
mod page_form;
mod page_guard;
mod page_plan;
mod page_saves;
mod page_today;
mod readme;
mod report;
mod run;
mod short_answers;
mod told;
mod whole_program;
