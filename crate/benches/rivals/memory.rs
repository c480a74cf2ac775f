//! An allocator that counts: how much memory a piece of work holds at once.
//!
//! Takes work; gives the most bytes that it held beyond what was held before.

#![allow(unsafe_code)] // An allocator cannot be written without; it only counts and hands on.

use std::{
    alloc::{GlobalAlloc, Layout, System},
    sync::atomic::{AtomicUsize, Ordering::Relaxed},
};

struct Counting;

static NOW: AtomicUsize = AtomicUsize::new(0);
static MOST: AtomicUsize = AtomicUsize::new(0);

// SAFETY: every call is handed on to the system's allocator as it came.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        let now = NOW.fetch_add(layout.size(), Relaxed) + layout.size();
        MOST.fetch_max(now, Relaxed);
        // SAFETY: as above.
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, at: *mut u8, layout: Layout) {
        NOW.fetch_sub(layout.size(), Relaxed);
        // SAFETY: as above.
        unsafe { System.dealloc(at, layout) }
    }
}

#[global_allocator]
static COUNTING: Counting = Counting;

/// Most bytes held at once by `what`, its result included.
pub fn of<T, E>(what: impl FnOnce() -> Result<T, E>) -> Result<usize, E> {
    let before = NOW.load(Relaxed);
    MOST.store(before, Relaxed);
    let out = what()?;
    let most = MOST.load(Relaxed);
    drop(out);
    Ok(most - before)
}
