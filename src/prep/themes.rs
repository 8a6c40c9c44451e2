//! What each theme holds and when, one line a theme.

use crate::planfile::Plan;

/// `Winter animals: Paint on ice, Wed 2 Dec and Thu 3 Dec; …`, in the file's order.
pub fn overview(plan: &Plan) -> Vec<String> {
    let lines = plan.themes.iter().map(|theme| {
        let parts: Vec<String> =
            theme.activities.iter().filter_map(|name| activity(plan, name)).collect();
        format!("{}: {}.", theme.name, parts.join("; "))
    });
    lines.collect()
}

/// An activity with its days.
fn activity(plan: &Plan, name: &str) -> Option<String> {
    if let Some(ice) = plan.ice.iter().find(|ice| ice.name == name) {
        let mut days: Vec<_> = ice.sessions.iter().map(|s| s.at.date_naive()).collect();
        days.sort_unstable();
        days.dedup();
        let days: Vec<String> = days.iter().map(|day| plan.locale().day(day)).collect();
        return Some(format!("{name}, {}", days.join(" and ")));
    }
    let gift = plan.ornaments.iter().find(|ornament| ornament.name == name)?;
    Some(format!("{name}, given by {}", plan.locale().day(&gift.give)))
}
