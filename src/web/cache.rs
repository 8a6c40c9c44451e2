//! Answers used again, and how many are worked out at once.

use std::{
    collections::VecDeque,
    sync::{Arc, Condvar, Mutex, PoisonError},
};

use super::commands::{Commands, Refusal};
use crate::report::{diary::Shown, dough, ice};

/// Answers kept of each kind; one has some tens of kilobytes.
const KEPT: usize = 64;

/// Answers worked out at once. Each uses all cores by itself; the second lets a
/// quick one pass a slow one.
const AT_ONCE: usize = 2;

/// Answers that the pages have been given.
#[derive(Default)]
pub struct Cache {
    /// Of `solidby ice`.
    pub ice: Recent<ice::Answered>,
    /// Of `solidby dough`.
    pub dough: Recent<dough::Answered>,
    /// Of `solidby diary show`.
    pub diary: Recent<Shown>,
    semaphore: Semaphore,
}

impl Cache {
    /// An answer that is kept, or is worked out and kept now; refusals are not kept. The
    /// question are the arguments in the pages' order, and what else it depends on.
    ///
    /// # Errors
    /// Those of `work`.
    pub fn answer<Answer>(
        &self,
        kept: &Recent<Answer>,
        (commands, arguments): (&dyn Commands, &[String]),
        work: impl FnOnce() -> Result<Answer, Refusal>,
    ) -> Result<Arc<Answer>, Refusal> {
        let key = [&[commands.state()], arguments].concat();
        kept.get(&self.semaphore, key, work)
    }

    /// Other heavy work, with the same bound on how much of it runs at once.
    pub fn heavy<T>(&self, work: impl FnOnce() -> T) -> T {
        let _entered = self.semaphore.enter();
        work()
    }
}

/// The answers used last with their questions, the newest at the front.
pub struct Recent<Answer>(Mutex<VecDeque<(Vec<String>, Arc<Answer>)>>);

impl<Answer> Default for Recent<Answer> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<Answer> Recent<Answer> {
    fn get(
        &self,
        semaphore: &Semaphore,
        key: Vec<String>,
        work: impl FnOnce() -> Result<Answer, Refusal>,
    ) -> Result<Arc<Answer>, Refusal> {
        if let Some(answer) = self.find(&key) {
            return Ok(answer);
        }
        let _entered = semaphore.enter();
        // Another may have asked the same meanwhile.
        if let Some(answer) = self.find(&key) {
            return Ok(answer);
        }
        let answer = Arc::new(work()?);
        let mut recent = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        recent.push_front((key, answer.clone()));
        recent.truncate(KEPT);
        Ok(answer)
    }

    fn find(&self, key: &[String]) -> Option<Arc<Answer>> {
        let mut recent = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let place = recent.iter().position(|(known, _)| known == key)?;
        let found = recent.remove(place)?;
        let answer = found.1.clone();
        recent.push_front(found);
        Some(answer)
    }
}

/// Lets [`AT_ONCE`] in; others wait at it.
#[derive(Default)]
struct Semaphore {
    inside: Mutex<usize>,
    left: Condvar,
}

impl Semaphore {
    fn enter(&self) -> Entered<'_> {
        let inside = self.inside.lock().unwrap_or_else(PoisonError::into_inner);
        let waited = self.left.wait_while(inside, |inside| *inside >= AT_ONCE);
        *waited.unwrap_or_else(PoisonError::into_inner) += 1;
        Entered(self)
    }
}

/// One who is inside until this is dropped.
struct Entered<'a>(&'a Semaphore);

impl Drop for Entered<'_> {
    fn drop(&mut self) {
        *self.0.inside.lock().unwrap_or_else(PoisonError::into_inner) -= 1;
        self.0.left.notify_one();
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    #[test]
    fn the_last_used_are_kept_and_refusals_are_not() {
        let (recent, semaphore) = (Recent::<usize>::default(), Semaphore::default());
        let get = |n: usize| recent.get(&semaphore, vec![n.to_string()], || Ok(n));
        for n in 0..2 * KEPT {
            assert_eq!(*get(n).unwrap(), n);
            assert_eq!(*get(0).unwrap(), 0, "asked again and again, so never dropped");
        }
        assert_eq!(recent.0.lock().unwrap().len(), KEPT);
        assert!(recent.find(&["1".to_owned()]).is_none());
        let refused = recent.get(&semaphore, vec!["x".to_owned()], || Err(Refusal::of("no")));
        assert_eq!(refused, Err(Refusal::of("no")));
        assert!(recent.find(&["x".to_owned()]).is_none());
    }

    #[test]
    fn no_more_than_so_many_work_at_once_and_what_is_kept_is_not_worked_out_again() {
        let (recent, semaphore) = (Recent::<usize>::default(), Semaphore::default());
        let (inside, most, worked) =
            (AtomicUsize::new(0), AtomicUsize::new(0), AtomicUsize::new(0));
        let ask_all = || {
            std::thread::scope(|scope| {
                for n in 0..12 {
                    let (inside, most, worked) = (&inside, &most, &worked);
                    let work = move || {
                        most.fetch_max(inside.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                        worked.fetch_add(1, Ordering::SeqCst);
                        std::thread::sleep(std::time::Duration::from_millis(5));
                        inside.fetch_sub(1, Ordering::SeqCst);
                        Ok(n)
                    };
                    let (recent, semaphore) = (&recent, &semaphore);
                    scope.spawn(move || recent.get(semaphore, vec![n.to_string()], work));
                }
            })
        };
        ask_all();
        assert!(most.load(Ordering::SeqCst) <= AT_ONCE);
        assert_eq!(worked.load(Ordering::SeqCst), 12);
        ask_all();
        assert_eq!(worked.load(Ordering::SeqCst), 12, "all are kept");
    }
}
