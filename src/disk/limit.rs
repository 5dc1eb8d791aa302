//! The limit on the size of files.

/// From now on, to reach the limit on the size of files (`ulimit -f`) is an error of the write that does it, told
/// like a full disk. Otherwise the system would end the program without a word.
pub fn survive_size_limit() {
    #[cfg(unix)]
    {
        let heard = std::sync::Arc::new(std::sync::atomic::AtomicBool::new(false));
        // If it cannot be had, all else works as before.
        let _ = signal_hook::flag::register(libc::SIGXFSZ, heard);
    }
}
