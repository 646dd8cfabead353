//! What happens when the person, or the system, wants the program to end.

use std::process::exit;
use std::sync::atomic::{AtomicI32, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use super::complain;
use crate::place::Halt;
use crate::reading::Problem;

/// The signal that has come; 0 while there is none.
static CAUGHT: AtomicI32 = AtomicI32::new(0);

/// Held while files are put in place.
static PLACING: Mutex<()> = Mutex::new(());

/// From here on SIGINT (Ctrl-C) and SIGTERM end the program with 128 and the signal's number as
/// its exit status: at once, or when what [`during`] is doing is undone or done. Where there are
/// no signals, or they can't be watched, the system ends the program and the next run mends.
pub(super) fn watch() {
    #[cfg(unix)]
    if let Ok(mut signals) = signal_hook::iterator::Signals::new([
        signal_hook::consts::SIGINT,
        signal_hook::consts::SIGTERM,
    ]) {
        std::thread::spawn(move || signals.forever().for_each(end));
    }
}

#[cfg(unix)]
fn end(signal: i32) {
    CAUGHT.store(signal, Ordering::SeqCst);
    let _placed = placing();
    exit(128 + signal);
}

/// Does what must not be left half done. It asks now and then whether it is to stop.
pub(super) fn during<T>(work: impl FnOnce(Halt<'_>) -> Result<T, Problem>) -> Result<T, Problem> {
    let _placing = placing();
    let done = work(&|| CAUGHT.load(Ordering::SeqCst) != 0);
    match CAUGHT.load(Ordering::SeqCst) {
        0 => done,
        signal => {
            done.err().into_iter().for_each(complain);
            exit(128 + signal);
        }
    }
}

fn placing() -> MutexGuard<'static, ()> {
    PLACING.lock().unwrap_or_else(PoisonError::into_inner)
}
