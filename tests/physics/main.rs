//! The physics and the belief: against published values, textbook examples,
//! independent numbers, and their own limits and symmetries.

mod block_shapes;
mod chance;
mod cooling;
mod diary_exact;
mod diary_kitchens;
mod diary_notes;
mod diary_ovens;
mod diary_trouble;
mod dough_answers;
mod dough_drying;
mod dough_practice;
mod dough_recipe;
mod freezing_in_kitchens;
mod freezing_reference;
mod freezing_shape_factor;
mod kitchen;
mod kitchen_cases;
mod reduced_model;
