"""What holds for all tests: a run started with Ctrl-C ignored, as in the background of a shell,
doesn't hand that on to the programs that tests start and stop."""

import signal

if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)
