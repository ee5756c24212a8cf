"""The program: `groove`, and `python -m groove`."""

import atexit
import signal
import sys

STOPPING = ("SIGINT", "SIGTERM", "SIGHUP")


class Stop(KeyboardInterrupt):
    """A signal to stop. Not its base itself: where that passes through code that was compiled
    from a string, as in dataclasses, Python ends ``python -m`` by signal whatever handles it."""


def main() -> None:
    """Run the command line. An error while it loads ends in one line, too."""
    stop_on_signals()
    try:
        from groove.cli import main as run
    except KeyboardInterrupt:
        sys.exit("groove: stopped; nothing was written")
    except (MemoryError, ImportError) as error:
        sys.exit(f"groove: the program can't be loaded: {str(error) or 'out of memory'}")
    run()


def stop_on_signals() -> None:
    """Raise Stop at the first signal of STOPPING, and ignore those that follow."""
    numbers = [getattr(signal, name) for name in STOPPING if hasattr(signal, name)]
    usual = (signal.SIG_DFL, signal.default_int_handler)
    heeded = [number for number in numbers if signal.getsignal(number) in usual]

    def stop(_number: int, _frame: object) -> None:
        for number in heeded:  # SIG_IGN in place of a handler would be noisy if one comes just now
            signal.signal(number, lambda _number, _frame: None)
        raise Stop

    for number in heeded:
        signal.signal(number, stop)
    # On the way out Python takes its handlers back, and one more stop would change the exit code.
    atexit.register(signal.pthread_sigmask, signal.SIG_BLOCK, heeded)


if __name__ == "__main__":
    main()
